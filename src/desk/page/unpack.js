// Unpacks what is packed by LZMA, as a file whose name ends in `.lzma` (I. Pavlov, LZMA Specification, 2015).

const HEAD = 13; // Bytes before what is packed.
const STATES = 12;
const POSITIONS = 16; // The most that are told apart by their last bits.
const LITERAL = 0x300; // Probabilities of a literal.
const MATCHED = 0x100; // Where those are that depend on the byte of the last distance.
const BROKEN = "what is packed is not whole";
const SIGN = 1 << 31; // Turned over, numbers without a sign are compared as numbers with one.

// Where the probabilities of each kind begin.
const IS_MATCH = 0;
const IS_REPEATED = IS_MATCH + STATES * POSITIONS;
const IS_OTHER = IS_REPEATED + STATES; // For each of the last three distances, whether it is one after it.
const IS_LONG = IS_OTHER + 3 * STATES;
const SLOT = IS_LONG + STATES * POSITIONS;
const SPECIAL = SLOT + 4 * 64;
const ALIGN = SPECIAL + 128;
const LENGTH = ALIGN + 16;
const REPEATED_LENGTH = LENGTH + 2 + 16 * POSITIONS + 256;
const LITERALS = REPEATED_LENGTH + 2 + 16 * POSITIONS + 256;

/** Bytes that come one after another from probabilities (a range coder). */
class Decoder {
  constructor(bytes, literals) {
    this.bytes = bytes;
    this.at = HEAD + 1;
    this.probabilities = new Uint16Array(LITERALS + literals).fill(1024);
    // The range and the code: numbers of 32 bits stay numbers in such an array.
    this.numbers = Int32Array.of(-1, 0);
    for (let n = 0; n < 4; n += 1) this.numbers[1] = (this.numbers[1] << 8) | bytes[this.at++];
  }

  /** A bit of which a probability is kept. */
  bit(index) {
    const { probabilities, numbers } = this;
    const probability = probabilities[index];
    const bound = Math.imul(numbers[0] >>> 11, probability);
    const isLess = (numbers[1] ^ SIGN) < (bound ^ SIGN);
    if (isLess) {
      numbers[0] = bound;
      probabilities[index] = probability + ((2048 - probability) >> 5);
    } else {
      numbers[0] -= bound;
      numbers[1] -= bound;
      probabilities[index] = probability - (probability >> 5);
    }
    if (numbers[0] >>> 24 === 0) this.fill();
    return isLess ? 0 : 1;
  }

  /** Takes a byte more, as the range became small. */
  fill() {
    const { numbers } = this;
    if (this.at >= this.bytes.length) throw new Error(BROKEN);
    numbers[0] <<= 8;
    numbers[1] = (numbers[1] << 8) | this.bytes[this.at++];
  }

  /** Bits that are as likely one as zero. */
  direct(count) {
    const { numbers } = this;
    let value = 0;
    for (let n = 0; n < count; n += 1) {
      numbers[0] >>>= 1;
      const isLess = (numbers[1] ^ SIGN) < (numbers[0] ^ SIGN);
      if (!isLess) numbers[1] -= numbers[0];
      value = (value << 1) | (isLess ? 0 : 1);
      if (numbers[0] >>> 24 === 0) this.fill();
    }
    return value;
  }

  /** Bits from the highest on, each with a probability of its own for those before it. */
  tree(start, bits) {
    let node = 1;
    for (let n = 0; n < bits; n += 1) node = (node << 1) | this.bit(start + node);
    return node - (1 << bits);
  }

  /** The same from the lowest on. */
  reversed(start, bits) {
    let [node, value] = [1, 0];
    for (let n = 0; n < bits; n += 1) {
      const bit = this.bit(start + node);
      node = (node << 1) | bit;
      value |= bit << n;
    }
    return value;
  }

  length(start, position) {
    if (!this.bit(start)) return 2 + this.tree(start + 2 + position * 8, 3);
    if (!this.bit(start + 1)) return 10 + this.tree(start + 2 + (POSITIONS + position) * 8, 3);
    return 18 + this.tree(start + 2 + 16 * POSITIONS, 8);
  }

  /** How far back a match of a length lies; -1 at the end. */
  distance(length) {
    const slot = this.tree(SLOT + Math.min(length - 2, 3) * 64, 6);
    if (slot < 4) return slot;
    const bits = (slot >> 1) - 1;
    const start = (2 | (slot & 1)) << bits;
    if (slot < 14) return start + this.reversed(SPECIAL + start - slot, bits);
    return (start + (this.direct(bits - 4) << 4) + this.reversed(ALIGN, 4)) | 0;
  }

  /** A byte; after a match, by the one that the last distance leads to. */
  literal(start, matched) {
    let node = 1;
    for (let rest = matched; rest >= 0 && node < 256; ) {
      const expected = (rest >> 7) & 1;
      rest = (rest << 1) & 0xff;
      const bit = this.bit(start + ((1 + expected) * MATCHED) + node);
      node = (node << 1) | bit;
      if (bit !== expected) break;
    }
    while (node < 256) node = (node << 1) | this.bit(start + node);
    return node & 0xff;
  }
}

/** What is packed, which is no longer than the dictionary it is packed with. */
export function unpack(packed) {
  if (packed.length < HEAD) throw new Error(BROKEN);
  const head = packed[0];
  const [context, positions] = [head % 9, (1 << Math.floor(head / 45)) - 1];
  if (head >= 225 || Math.floor(head / 9) % 5 !== 0) throw new Error("the way it is packed in is not known");
  const out = new Uint8Array(new DataView(packed.buffer, packed.byteOffset).getUint32(1, true));
  const decoder = new Decoder(packed, LITERAL << context);
  const last = [0, 0, 0, 0]; // Distances.
  let [at, state] = [0, 0];
  for (;;) {
    const position = at & positions;
    if (!decoder.bit(IS_MATCH + state * POSITIONS + position)) {
      if (at === out.length) throw new Error(BROKEN);
      const before = at > 0 ? out[at - 1] : 0;
      const start = LITERALS + LITERAL * (before >> (8 - context));
      out[at] = decoder.literal(start, state < 7 ? -1 : out[at - last[0] - 1]);
      at += 1;
      state = state < 4 ? 0 : state < 10 ? state - 3 : state - 6;
      continue;
    }
    let length;
    if (decoder.bit(IS_REPEATED + state)) {
      length = repeated(decoder, last, state, position);
      if (length === 1) state = state < 7 ? 9 : 11;
      else state = state < 7 ? 8 : 11;
    } else {
      length = decoder.length(LENGTH, position);
      last.unshift(decoder.distance(length));
      last.pop();
      if (last[0] === -1) return out.subarray(0, at);
      state = state < 7 ? 7 : 10;
    }
    const end = at + length;
    if (last[0] >= at || end > out.length) throw new Error(BROKEN);
    for (; at < end; at += 1) out[at] = out[at - last[0] - 1];
  }
}

/** The length of a match at one of the last distances, which comes to be the last. */
function repeated(decoder, last, state, position) {
  if (!decoder.bit(IS_OTHER + state)) {
    if (!decoder.bit(IS_LONG + state * POSITIONS + position)) return 1;
  } else {
    let nth = 1;
    while (nth < 3 && decoder.bit(IS_OTHER + nth * STATES + state)) nth += 1;
    last.unshift(...last.splice(nth, 1));
  }
  return decoder.length(REPEATED_LENGTH, position);
}
