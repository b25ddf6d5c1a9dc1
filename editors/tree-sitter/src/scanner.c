// What each line of drum-text is. The reader of the program (src/syntax) is the measure; of texts with faults only
// as much is known as editors need.

#include "tree_sitter/parser.h"

#include <string.h>

enum Sign {
  LINE_END,
  HEADER_START,
  HEADER_END,
  BLOCK_START,
  BLOCK_END,
  HEADING_START,
  PART_START,
  INCLUDE_START,
  SETTING_START,
  PLAYER_START,
  BREAK_START,
  PLAY_START,
  INSTRUMENT_START,
  STICK_START,
  COUNT_START,
  WORDS_START,
  KIT_START,
  SYLLABLES_START,
  PROSE_START,
  FENCE,
  CODE_LINE,
  CODE_END,
  COMMENT,
};

// Where a line stands.
enum Place { AT_START, IN_HEADER, IN_PROSE, IN_BLOCK, IN_KIT, IN_SYLLABLES, IN_CODE };

typedef struct {
  uint8_t place;
  // The sign that opened code, and how many of it.
  uint8_t fence;
  uint8_t fences;
} Scanner;

// As much of a line as is looked at: no head of a block and no name of a file is longer.
enum { LONGEST = 512 };

typedef struct {
  int32_t text[LONGEST];
  // Without its comment and the white space round it; all of it where it is longer than is looked at.
  int length;
  bool whole;
} Line;

typedef struct {
  const char *word;
  enum Sign sign;
} Row;

static const Row ROWS[] = {
    {"count", COUNT_START}, {"play", PLAY_START},   {"hands", PLAY_START}, {"feet", PLAY_START},
    {"band", PLAY_START},   {"stick", STICK_START}, {"pedal", STICK_START}, {"dyn", WORDS_START},
    {"say", WORDS_START},   {"mark", WORDS_START},  {"cue", WORDS_START},
};

static const char *const BLOCKS[] = {
    "fill", "groove", "rudiment", "exercise", "kit", "context", "variation", "series", "syllables", "edition",
};

enum { ROW_COUNT = sizeof ROWS / sizeof *ROWS, BLOCK_COUNT = sizeof BLOCKS / sizeof *BLOCKS };

// White space within a line.
static bool is_white(int32_t c) {
  return c == ' ' || c == '\t' || c == '\r' || c == 0xA0 || c == 0x1680 || (c >= 0x2000 && c <= 0x200A) ||
         c == 0x2028 || c == 0x2029 || c == 0x202F || c == 0x205F || c == 0x3000 || c == 0xFEFF;
}

static bool is_quote(int32_t c) { return c == '"' || c == 0x201C || c == 0x201D || c == 0x201E; }

static bool is_plain_letter(int32_t c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

// What is no letter beyond ASCII the grammar finds out.
static bool is_letter(int32_t c) { return is_plain_letter(c) || (c >= 0x80 && !is_quote(c) && !is_white(c)); }

static bool is_digit(int32_t c) { return c >= '0' && c <= '9'; }

static bool at_line_end(TSLexer *lexer) { return lexer->eof(lexer) || lexer->lookahead == '\n'; }

static void advance(TSLexer *lexer) { lexer->advance(lexer, false); }

static void skip(TSLexer *lexer) { lexer->advance(lexer, true); }

static int32_t at(const Line *line, int place) { return place < line->length ? line->text[place] : 0; }

// The place after white space.
static int past_white(const Line *line, int place) {
  while (place < line->length && is_white(line->text[place])) place++;
  return place;
}

// Reads the rest of a line, from what stands first in it.
static void read(TSLexer *lexer, Line *line) {
  bool comment = false;
  int32_t before = 0;
  line->length = 0;
  line->whole = true;
  for (; !at_line_end(lexer); advance(lexer)) {
    int32_t c = lexer->lookahead;
    // A comment starts at the line's start or after white space.
    if (c == '/' && before == '/' && line->length > 0 && (line->length == 1 || is_white(line->text[line->length - 2])))
      comment = true;
    before = c;
    if (comment) continue;
    if (line->length == LONGEST) {
      line->whole = false;
      // Nothing more is asked of it.
      return;
    }
    line->text[line->length++] = c;
  }
  if (comment) line->length--;
  while (line->length > 0 && is_white(line->text[line->length - 1])) line->length--;
}

static bool is_word(const Line *line, int start, int end, const char *word) {
  int length = (int)strlen(word);
  if (end - start != length) return false;
  for (int i = 0; i < length; i++)
    if (at(line, start + i) != word[i]) return false;
  return true;
}

// The place after the first word.
static int first_word(const Line *line) {
  int end = 0;
  while (end < line->length && !is_white(line->text[end]) && !is_quote(line->text[end])) end++;
  return end;
}

// `key:`, but not `http://`.
static bool is_setting(const Line *line) {
  int end = 0;
  if (!is_plain_letter(at(line, 0))) return false;
  while (is_plain_letter(at(line, end)) || at(line, end) == '-') end++;
  return at(line, end) == ':' && !(at(line, end + 1) == '/' && at(line, end + 2) == '/');
}

// A phrase in quotes with something in it; the place after it, or nothing.
static int quoted(const Line *line, int start) {
  bool filled = false;
  if (!is_quote(at(line, start))) return 0;
  for (int end = start + 1; end < line->length; end++) {
    if (is_quote(line->text[end])) return filled ? end + 1 : 0;
    filled |= !is_white(line->text[end]);
  }
  return 0;
}

// `part "The street" {#street}`.
static bool is_part(const Line *line) {
  int end = first_word(line);
  if (!line->whole || !is_word(line, 0, end, "part")) return false;
  int start = past_white(line, end);
  end = start > end ? quoted(line, start) : 0;
  if (!end) return false;
  end = past_white(line, end);
  return end == line->length || (at(line, end) == '{' && line->text[line->length - 1] == '}');
}

// `include grooves.flam`.
static bool is_include(const Line *line) {
  static const char END[] = ".flam";
  int end = first_word(line), length = line->length;
  if (!line->whole || !is_word(line, 0, end, "include") || past_white(line, end) == end) return false;
  if (is_quote(line->text[length - 1])) length--;
  for (int i = 0; i < 5; i++) {
    int32_t c = length - 5 + i > end ? line->text[length - 5 + i] : 0;
    if (c != END[i] && !(i > 0 && c == END[i] - 'a' + 'A')) return false;
  }
  return true;
}

// The signs of code: how many; nothing where it is none.
static int fences(const Line *line) {
  int32_t sign = at(line, 0);
  int count = 0;
  if (sign != '`' && sign != '~') return 0;
  while (at(line, count) == sign && count < 255) count++;
  if (count < 3) return 0;
  for (int i = count; i < line->length; i++)
    if (sign == '`' && line->text[i] == '`') return 0;
  return count;
}

// The place after a name, or nothing.
static int name(const Line *line, int start) {
  int end = start;
  if (!is_letter(at(line, start))) return 0;
  while (is_letter(at(line, end)) || is_digit(at(line, end)) || at(line, end) == '-') end++;
  return end == line->length || is_white(line->text[end]) ? end : 0;
}

// The kind of block a line has the head of: a word, then a name or not, then a title or not. Nothing where it is
// none.
static const char *block(const Line *line) {
  int end = first_word(line);
  const char *kind = NULL;
  for (int i = 0; i < BLOCK_COUNT; i++)
    if (is_word(line, 0, end, BLOCKS[i])) kind = BLOCKS[i];
  if (!kind || !line->whole) return NULL;
  bool made = !strcmp(kind, "variation") || !strcmp(kind, "series"), named = false, from = false;
  for (int start = past_white(line, end); start < line->length; start = past_white(line, end)) {
    if (is_quote(line->text[start])) return quoted(line, start) == line->length ? kind : NULL;
    end = name(line, start);
    int parent = end ? past_white(line, end) : 0;
    if (end && made && !from && is_word(line, start, end, "of") && name(line, parent)) {
      end = name(line, parent);
      from = true;
    } else if (end && !named) {
      named = true;
    } else {
      return NULL;
    }
  }
  return kind;
}

// Whether the next line that says something is indented.
static bool indented_follows(TSLexer *lexer) {
  Line line;
  while (!lexer->eof(lexer)) {
    while (!at_line_end(lexer)) advance(lexer);
    if (lexer->eof(lexer)) return false;
    advance(lexer);
    bool indented = false;
    for (; is_white(lexer->lookahead); advance(lexer)) indented = true;
    read(lexer, &line);
    if (line.length > 0) return indented;
  }
  return false;
}

static bool say(TSLexer *lexer, enum Sign sign) {
  lexer->result_symbol = sign;
  return true;
}

static bool scan_comment(TSLexer *lexer) {
  while (!at_line_end(lexer)) advance(lexer);
  lexer->mark_end(lexer);
  return say(lexer, COMMENT);
}

// A line of code, or the one that closes it.
static bool scan_code(Scanner *scanner, TSLexer *lexer) {
  Line line;
  if (lexer->eof(lexer)) {
    scanner->place = IN_PROSE;
    return say(lexer, CODE_END);
  }
  while (is_white(lexer->lookahead)) advance(lexer);
  read(lexer, &line);
  bool closes = line.whole && line.length >= scanner->fences;
  for (int i = 0; i < line.length; i++) closes &= line.text[i] == scanner->fence;
  while (!at_line_end(lexer)) advance(lexer);
  if (!lexer->eof(lexer)) advance(lexer);
  lexer->mark_end(lexer);
  if (closes) scanner->place = IN_PROSE;
  return say(lexer, closes ? CODE_END : CODE_LINE);
}

// What an indented line of a block is.
static enum Sign row(const Scanner *scanner, const Line *line) {
  int end = 0;
  while (end < line->length && !is_white(line->text[end])) end++;
  if (line->length == 2 && is_word(line, 0, end, "--")) return BREAK_START;
  if (is_word(line, 0, end, "player") && is_quote(at(line, past_white(line, end)))) return PLAYER_START;
  if (is_setting(line)) return SETTING_START;
  if (scanner->place == IN_KIT) return KIT_START;
  if (scanner->place == IN_SYLLABLES) return SYLLABLES_START;
  for (int i = 0; i < ROW_COUNT; i++)
    if (is_word(line, 0, end, ROWS[i].word)) return ROWS[i].sign;
  return INSTRUMENT_START;
}

// A line outside of blocks and of the header.
static bool scan_flush(Scanner *scanner, TSLexer *lexer, const Line *line, bool indented) {
  int count = fences(line);
  scanner->place = IN_PROSE;
  if (count) {
    scanner->place = IN_CODE;
    scanner->fence = (uint8_t)at(line, 0);
    scanner->fences = (uint8_t)count;
    while (!at_line_end(lexer)) advance(lexer);
    if (!lexer->eof(lexer)) advance(lexer);
    lexer->mark_end(lexer);
    return say(lexer, FENCE);
  }
  if (indented) return say(lexer, PROSE_START);
  if (at(line, 0) == '#') return say(lexer, HEADING_START);
  if (is_part(line)) return say(lexer, PART_START);
  if (is_include(line)) return say(lexer, INCLUDE_START);
  const char *kind = block(line);
  if (!kind || !indented_follows(lexer)) return say(lexer, PROSE_START);
  scanner->place = !strcmp(kind, "kit") ? IN_KIT : !strcmp(kind, "syllables") ? IN_SYLLABLES : IN_BLOCK;
  return say(lexer, BLOCK_START);
}

// The start of a line, after lines that say nothing.
static bool scan_start(Scanner *scanner, TSLexer *lexer, const bool *valid) {
  // Where a block or the header is over, it is over before the lines that say nothing.
  lexer->mark_end(lexer);
  bool left = lexer->get_column(lexer) == 0, indented = false, blank = false;
  for (;; skip(lexer)) {
    if (!lexer->eof(lexer) && lexer->lookahead == '\n') {
      blank |= left;
      left = true;
      indented = false;
    } else if (!lexer->eof(lexer) && is_white(lexer->lookahead)) {
      indented = true;
    } else {
      break;
    }
  }
  bool in_block = scanner->place == IN_BLOCK || scanner->place == IN_KIT || scanner->place == IN_SYLLABLES;
  if (lexer->eof(lexer) || (scanner->place == IN_HEADER && blank)) {
    if (scanner->place == IN_HEADER && valid[HEADER_END]) {
      scanner->place = IN_PROSE;
      return say(lexer, HEADER_END);
    }
    if (!in_block || !valid[BLOCK_END]) return false;
    scanner->place = IN_PROSE;
    return say(lexer, BLOCK_END);
  }
  Line line;
  bool ends = in_block && !indented;
  if (!ends) lexer->mark_end(lexer);
  read(lexer, &line);
  if (line.length == 0) return valid[COMMENT] && scan_comment(lexer);
  if (ends && !(line.length == 2 && at(&line, 0) == '-' && at(&line, 1) == '-')) {
    scanner->place = IN_PROSE;
    return valid[BLOCK_END] && say(lexer, BLOCK_END);
  }
  if (in_block) return say(lexer, row(scanner, &line));
  if (scanner->place == IN_HEADER) {
    if (is_setting(&line)) return say(lexer, SETTING_START);
    scanner->place = IN_PROSE;
    return valid[HEADER_END] && say(lexer, HEADER_END);
  }
  if (scanner->place == AT_START && !indented && is_setting(&line)) {
    scanner->place = IN_HEADER;
    return say(lexer, HEADER_START);
  }
  return scan_flush(scanner, lexer, &line, indented);
}

bool tree_sitter_flam_external_scanner_scan(void *payload, TSLexer *lexer, const bool *valid) {
  Scanner *scanner = payload;
  // All are asked for where the text makes no sense; then only the end of the line is known.
  bool lost = valid[LINE_END] && valid[PROSE_START];
  if (!lost && valid[CODE_LINE]) return scan_code(scanner, lexer);
  bool starts = valid[PROSE_START] || valid[SETTING_START] || valid[HEADER_END] || valid[BLOCK_END];
  if (!lost && starts) return scan_start(scanner, lexer, valid);
  bool white = lexer->get_column(lexer) == 0;
  for (; !at_line_end(lexer) && is_white(lexer->lookahead); skip(lexer)) white = true;
  if (at_line_end(lexer)) {
    if (!valid[LINE_END] || (lost && lexer->eof(lexer))) return false;
    if (!lexer->eof(lexer)) advance(lexer);
    lexer->mark_end(lexer);
    return say(lexer, LINE_END);
  }
  if (!white || lexer->lookahead != '/') return false;
  advance(lexer);
  return lexer->lookahead == '/' && scan_comment(lexer);
}

void *tree_sitter_flam_external_scanner_create(void) {
  static const Scanner NONE = {AT_START, 0, 0};
  Scanner *scanner = malloc(sizeof *scanner);
  if (scanner) *scanner = NONE;
  return scanner;
}

void tree_sitter_flam_external_scanner_destroy(void *payload) { free(payload); }

unsigned tree_sitter_flam_external_scanner_serialize(void *payload, char *buffer) {
  memcpy(buffer, payload, sizeof(Scanner));
  return sizeof(Scanner);
}

void tree_sitter_flam_external_scanner_deserialize(void *payload, const char *buffer, unsigned length) {
  Scanner *scanner = payload;
  memset(scanner, 0, sizeof *scanner);
  if (length == sizeof *scanner) memcpy(scanner, buffer, length);
}
