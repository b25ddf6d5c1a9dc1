//! What tells a book from others: a number of its content and no other source, so that the same text is the
//! same book.

/// The offset and the prime of FNV-1a with 128 bits (G. Fowler, L. C. Noll, K.-P. Vo, "FNV hash").
const OFFSET: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;

/// The content as a UUID of version 8 (RFC 9562, 5.8), as a URN.
pub(super) fn identifier<'a>(content: impl Iterator<Item = &'a [u8]>) -> String {
    let hash = hash(content.flatten().copied());
    let version = 8u128 << 76;
    let variant = 2u128 << 62;
    let number = hash & !(0xf << 76) & !(3 << 62) | version | variant;
    let digits = format!("{number:032x}");
    let parts = [0..8, 8..12, 12..16, 16..20, 20..32];
    let parts = parts.map(|part| digits.get(part).unwrap_or_default());
    format!("urn:uuid:{}", parts.join("-"))
}

fn hash(bytes: impl Iterator<Item = u8>) -> u128 {
    bytes.fold(OFFSET, |hash, byte| (hash ^ u128::from(byte)).wrapping_mul(PRIME))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The vectors of the empty text and of `a` for 128 bits, from the same source.
    #[test]
    fn the_hash_is_that_of_its_source() {
        assert_eq!(hash(b"".iter().copied()), OFFSET);
        let a = 0xd228_cb69_6f1a_8caf_7891_2b70_4e4a_8964;
        assert_eq!(hash(b"a".iter().copied()), a);
    }

    #[test]
    fn an_identifier_says_its_version_and_its_variant() {
        let made = identifier([b"a".as_slice()].into_iter());
        assert_eq!(made, "urn:uuid:d228cb69-6f1a-8caf-b891-2b704e4a8964");
        assert_ne!(made, identifier([b"b".as_slice()].into_iter()));
    }
}
