; Names are those that editors share. What stands after a second dot is for themes that know it; others take what
; stands before it.

(comment) @comment

[(heading_sign) (heading_text)] @markup.heading
(heading_name) @label
(part "part" @keyword title: (string) @markup.heading)
(include "include" @keyword file: (file_name) @string.special.path)

(block_word) @keyword
["player" "of"] @keyword
(block_head [(name) (parent_name)] @label)
(block_head title: (string) @string)
(player name: (string) @string)

(key) @property
":" @punctuation.delimiter
(value (word) @constant)
(value (number) @number)
(value (string) @string)

(row_word) @function.builtin
(instrument_row (instrument) @function)
(set_break) @punctuation.special

[(note) (hand)] @variable
[(accented_note) (accented_hand)] @variable.accented
(ghost_note) @variable.ghosted
(grace) @variable.grace
(rest) @comment.rest
[(hold) (sign) (barline) (same_bar)] @operator
(bracket) @punctuation.bracket
(spread) @number
(syllable) @number.syllable
(words_row (string) @string)
(mark) @constant.mark

(kit_row (letter) @variable)
(kit_row (instrument) @label)
(attribute) @constant
(division) @number

(reference) @label
(list_sign) @markup.list
[(code_span) (fence) (code_line) (closing_fence)] @markup.raw
