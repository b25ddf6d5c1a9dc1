/**
 * Drum-text, for editors that parse with tree-sitter.
 *
 * The language is one of lines: what a line is depends on where it stands, and what may stand in it depends on what
 * it is. `src/scanner.c` says of each line what it is, by a token without width before it; here is what is in it.
 * Rows are sorted out by their first word, since each kind has signs of its own.
 */

const QUOTE = '"“”„';

module.exports = grammar({
  name: 'flam',

  // In the order of `enum Sign` in src/scanner.c.
  externals: $ => [
    $._line_end,
    $._header_start,
    $._header_end,
    $._block_start,
    $._block_end,
    $._heading_start,
    $._part_start,
    $._include_start,
    $._setting_start,
    $._player_start,
    $._break_start,
    $._play_start,
    $._instrument_start,
    $._stick_start,
    $._count_start,
    $._words_start,
    $._kit_start,
    $._syllables_start,
    $._prose_start,
    $.fence,
    $.code_line,
    $.closing_fence,
    $.comment,
  ],

  extras: $ => [/[ \t\r\u00a0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000\ufeff]/, $.comment],

  rules: {
    document: $ => seq(optional($.header), repeat($._item)),

    _item: $ => choice($.heading, $.part, $.include, $.block, $.code, $.prose_line),

    header: $ => seq($._header_start, repeat1($.setting), $._header_end),

    setting: $ => seq(
      $._setting_start, field('key', $.key), ':', optional(field('value', $.value)), $._line_end,
    ),
    key: _ => /[A-Za-z][A-Za-z-]*/,
    value: $ => repeat1(choice($.string, $.number, $.word)),
    number: _ => /#[0-9A-Fa-f]{6}|[0-9]+(\.[0-9]+)?([\/:][0-9]+)?/,
    string: _ => new RegExp(`[${QUOTE}][^${QUOTE}\\n]*[${QUOTE}]`),
    // Of two signs of one length the one that is told of first is taken, so that what is in words is told of last.
    word: _ => new RegExp(`[^\\s${QUOTE}]+|[${QUOTE}]`),

    heading: $ => seq(
      $._heading_start, $.heading_sign, optional($.heading_text), optional($.heading_name), $._line_end,
    ),
    heading_sign: _ => /#+/,
    // `{#doubles}`: the name by which prose refers to it.
    heading_name: _ => /\{#[^\s{}]+\}/,
    heading_text: $ => repeat1($._any_word),
    _any_word: _ => /\S+/,

    part: $ => seq($._part_start, 'part', field('title', $.string), optional($.heading_name), $._line_end),

    include: $ => seq($._include_start, 'include', field('file', $.file_name), $._line_end),
    file_name: $ => repeat1($._any_word),

    block: $ => seq($.block_head, repeat($._block_line), $._block_end),
    block_head: $ => seq(
      $._block_start,
      field('kind', $.block_word),
      repeat(choice(field('name', $.name), $._parent)),
      optional(field('title', $.string)),
      $._line_end,
    ),
    block_word: _ => choice(
      'fill', 'groove', 'rudiment', 'exercise', 'kit', 'context', 'variation', 'series', 'syllables', 'edition',
    ),
    _parent: $ => seq('of', field('parent', alias($.name, $.parent_name))),
    name: _ => /\p{L}[\p{L}0-9-]*/,

    _block_line: $ => choice(
      $.setting, $.player, $.set_break, $.play_row, $.instrument_row, $.stick_row, $.count_row, $.words_row,
      $.kit_row, $.syllables_row,
    ),

    player: $ => seq($._player_start, 'player', field('name', $.string), $._line_end),
    // A set ends, and the block goes on in the next one.
    set_break: $ => seq($._break_start, '--', $._line_end),

    play_row: $ => seq($._play_start, $.row_word, repeat($._cell), $._line_end),
    instrument_row: $ => seq($._instrument_start, alias($.row_word, $.instrument), repeat($._mark), $._line_end),
    row_word: _ => /\S+/,

    _cell: $ => choice($._hit, $.note, $._cell_sign),
    // `g` is the ghosted note of an instrument's row.
    _mark: $ => choice($._hit, $.note, alias('g', $.ghost_note), $._cell_sign),
    _hit: $ => choice($.accented_note, $.ghost_note, $.grace),
    note: _ => /[a-z]/,
    accented_note: _ => token(choice(/[A-Z]/, /\^[A-Za-z]/, /\^?\([A-Z]\)/, /\^\([a-z]\)/)),
    ghost_note: _ => /\([a-z]\)/,
    grace: _ => token(choice(/['’‘]+/, /\{[A-Za-z]+\}/)),
    _cell_sign: $ => choice($.rest, $.hold, $.sign, $.bracket, $.spread, $.barline, $.same_bar),
    rest: _ => '.',
    hold: _ => /[-_]/,
    // Slashes and the buzz of a roll with their strokes, and what else stands after a letter.
    sign: _ => token(choice(/[\/~]+[0-9]*/, /[!,=?+]/)),
    bracket: _ => /[\[\]]/,
    spread: _ => /:[0-9]+(\/[0-9]+)?/,
    barline: _ => token(choice(/:\|\|?:?([ \t]*[xX×][0-9]+)?/, /\|\|?:?/)),
    same_bar: _ => /%[0-9]*/,

    stick_row: $ => seq($._stick_start, $.row_word, repeat($._stick), $._line_end),
    _stick: $ => choice(
      $.hand, $.accented_hand, alias($._grace_hand, $.grace),
      $.rest, alias('-', $.hold), $.bracket, $.spread, $.barline, $.same_bar,
    ),
    hand: _ => token(/[RLB](\([RLBrlb]\))?/),
    accented_hand: _ => token(/[>^]+[rlb]*[RLB](\([RLBrlb]\))?/),
    _grace_hand: _ => /[rlb]/,

    count_row: $ => seq($._count_start, $.row_word, repeat($._counted), $._line_end),
    _counted: $ => choice($.syllable, alias(/[()]/, $.bracket), $.barline, $.same_bar),
    syllable: _ => /[^\s()|:%\[\]]+/,

    words_row: $ => seq($._words_start, $.row_word, repeat($._said), $._line_end),
    _said: $ => choice(
      $.string, alias($._said_word, $.mark), alias(/[+:]/, $.sign),
      $.rest, $.bracket, $.spread, $.barline, $.same_bar,
    ),
    _said_word: _ => /([^\s"“”„\[\]|+:]|:[^\s"“”„\[\]|+0-9])+/,

    kit_row: $ => seq(
      $._kit_start, field('letter', $.letter), field('instrument', alias($._kit_words, $.instrument)),
      repeat(seq(',', alias($._kit_words, $.attribute))), $._line_end,
    ),
    letter: _ => /[A-Za-z]/,
    _kit_words: $ => repeat1($._kit_word),
    _kit_word: _ => /[^\s,]+/,

    syllables_row: $ => seq($._syllables_start, alias($.row_word, $.division), repeat(alias($._any_word, $.syllable)), $._line_end),

    code: $ => seq($.fence, repeat($.code_line), $.closing_fence),

    prose_line: $ => seq($._prose_start, optional($.list_sign), repeat(choice($.reference, $.code_span, $._text)), $._line_end),
    list_sign: _ => /[-*+]|[0-9]{1,9}[.)]/,
    code_span: _ => /`[^`\n]+`/,
    // The sign right after a letter, its accent or a digit, as in an address, is an ordinary one.
    _text: _ => /([\p{L}\p{M}\p{N}]@+|@@|\\\S|[^\s@`\\])+|[@`\\]/,
    reference: _ => /@\p{L}[\p{L}0-9]*(-+[\p{L}0-9]+)*(\.[0-9]+)?(\.(number|page))?/,
  },
});
