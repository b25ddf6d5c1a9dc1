//! Objects of a file as bytes (ISO 32000-1, 7.3).

use super::operand::put_integer;
use lopdf::{Dictionary, Object, ObjectId, Stream, StringFormat};

/// Appends an object.
pub(super) fn put(out: &mut Vec<u8>, object: &Object) {
    match object {
        Object::Null => out.extend_from_slice(b"null"),
        Object::Boolean(true) => out.extend_from_slice(b"true"),
        Object::Boolean(false) => out.extend_from_slice(b"false"),
        Object::Integer(number) => put_integer(out, *number),
        // An infinity has no digits.
        Object::Real(number) if !number.is_finite() => out.push(b'0'),
        Object::Real(number) => out.extend_from_slice(number.to_string().as_bytes()),
        Object::Name(name) => put_name(out, name),
        Object::String(bytes, StringFormat::Literal) => put_literal(out, bytes),
        Object::String(bytes, StringFormat::Hexadecimal) => put_hexadecimal(out, bytes),
        Object::Array(objects) => put_array(out, objects),
        Object::Dictionary(dictionary) => put_dictionary(out, dictionary),
        Object::Stream(stream) => put_stream(out, stream),
        Object::Reference(id) => put_reference(out, *id),
    }
}

/// Appends a stream, as its content is.
pub(super) fn put_stream(out: &mut Vec<u8>, stream: &Stream) {
    put_dictionary(out, &stream.dict);
    out.extend_from_slice(b"stream\n");
    out.extend_from_slice(&stream.content);
    out.extend_from_slice(b"\nendstream");
}

/// Appends a reference to an object.
pub(super) fn put_reference(out: &mut Vec<u8>, (number, generation): ObjectId) {
    put_integer(out, number.into());
    out.push(b' ');
    put_integer(out, generation.into());
    out.extend_from_slice(b" R");
}

fn put_array(out: &mut Vec<u8>, objects: &[Object]) {
    out.push(b'[');
    for (nth, object) in objects.iter().enumerate() {
        if nth > 0 {
            separate(out, object);
        }
        put(out, object);
    }
    out.push(b']');
}

fn put_dictionary(out: &mut Vec<u8>, dictionary: &Dictionary) {
    out.extend_from_slice(b"<<");
    dictionary.iter().for_each(|(key, value)| put_entry(out, key, value));
    out.extend_from_slice(b">>");
}

/// Appends an entry of a dictionary.
pub(super) fn put_entry(out: &mut Vec<u8>, key: &[u8], value: &Object) {
    put_name(out, key);
    separate(out, value);
    put(out, value);
}

/// Appends a list of references.
pub(super) fn put_references(out: &mut Vec<u8>, ids: &[ObjectId]) {
    out.push(b'[');
    for (nth, id) in ids.iter().enumerate() {
        if nth > 0 {
            out.push(b' ');
        }
        put_reference(out, *id);
    }
    out.push(b']');
}

/// A space before what doesn't begin with a delimiter.
fn separate(out: &mut Vec<u8>, next: &Object) {
    match next {
        Object::Null
        | Object::Boolean(_)
        | Object::Integer(_)
        | Object::Real(_)
        | Object::Reference(_) => out.push(b' '),
        Object::Name(_)
        | Object::String(..)
        | Object::Array(_)
        | Object::Dictionary(_)
        | Object::Stream(_) => {}
    }
}

fn put_name(out: &mut Vec<u8>, name: &[u8]) {
    out.push(b'/');
    for byte in name {
        // White space, delimiters and the number sign itself (7.3.5).
        if byte.is_ascii_graphic() && !b"()<>[]{}/%#".contains(byte) {
            out.push(*byte);
        } else {
            out.push(b'#');
            put_byte(out, *byte);
        }
    }
}

fn put_literal(out: &mut Vec<u8>, bytes: &[u8]) {
    out.push(b'(');
    for byte in bytes {
        match byte {
            b'(' | b')' | b'\\' => out.extend([b'\\', *byte]),
            // Unescaped, it would be read as a line feed (7.3.4.2).
            b'\r' => out.extend_from_slice(b"\\r"),
            _ => out.push(*byte),
        }
    }
    out.push(b')');
}

fn put_hexadecimal(out: &mut Vec<u8>, bytes: &[u8]) {
    out.push(b'<');
    for byte in bytes {
        put_byte(out, *byte);
    }
    out.push(b'>');
}

/// Appends a number of 16 bits as four digits.
pub(super) fn put_code(out: &mut Vec<u8>, number: u16) {
    out.extend_from_slice(&code(number));
}

/// A number of 16 bits as four digits.
pub(super) fn code(number: u16) -> [u8; 4] {
    let [high, low] = number.to_be_bytes();
    let ([a, b], [c, d]) = (digits(high), digits(low));
    [a, b, c, d]
}

/// Appends a byte as two digits.
fn put_byte(out: &mut Vec<u8>, byte: u8) {
    out.extend_from_slice(&digits(byte));
}

fn digits(byte: u8) -> [u8; 2] {
    const DIGITS: &[u8; 16] = b"0123456789ABCDEF";
    [byte >> 4, byte & 15].map(|digit| DIGITS[usize::from(digit)])
}

#[cfg(test)]
mod tests {
    use super::*;
    use lopdf::dictionary;

    #[test]
    fn objects_are_bytes() {
        let object = Object::from(dictionary! {
            "Type" => "A#b c",
            "Kids" => vec![Object::Null, true.into(), Object::Reference((12, 0)), (-3).into()],
            "Said" => Object::string_literal("a (b) \\\r"),
            "Raw" => Object::String(vec![0xFE, 0x0F], StringFormat::Hexadecimal),
            "Box" => vec![0.5_f32.into(), f32::NAN.into(), "N".into()],
        });
        let mut out = Vec::new();
        put(&mut out, &object);
        assert_eq!(
            String::from_utf8_lossy(&out),
            "<</Type/A#23b#20c/Kids[null true 12 0 R -3]/Said(a \\(b\\) \\\\\\r)/Raw<FE0F>\
             /Box[0.5 0/N]>>"
        );
    }
}
