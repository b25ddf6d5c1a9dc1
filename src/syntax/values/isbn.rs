//! Numbers of books (ISO 2108).

use crate::score::front_matter::Isbn;
use crate::syntax::grammar::{Rule, is_value};

/// Digits of a number of today, and of one from before 2007.
const LONG: usize = 13;
const SHORT: usize = 10;
/// What numbers of books begin with among those of all goods.
const PREFIXES: [&str; 2] = ["978", "979"];
/// What stands for ten as the last digit of a short number.
const TEN: char = 'X';

/// Why a value is no number of a book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoIsbn {
    /// It has other signs than digits, hyphens and blanks, or too few or too many digits, or begins with
    /// what no book does.
    Shape,
    /// The last digit does not follow from the others, from which this one would.
    CheckDigit(char),
}

/// Reads one.
///
/// # Errors
/// Says why it is none.
pub fn isbn(text: &str) -> Result<Isbn, NoIsbn> {
    let written = text.trim();
    if !is_value(Rule::isbn_value, written) {
        return Err(NoIsbn::Shape);
    }
    let digits: String = written
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .map(|c| c.to_ascii_uppercase())
        .collect();
    let (front, last) = digits.split_at(digits.len().saturating_sub(1));
    let is_long = digits.len() == LONG && PREFIXES.iter().any(|prefix| front.starts_with(prefix));
    let digits = match digits.len() {
        _ if is_long && last != "X" => {
            checked(last, long_check(front))?;
            digits
        }
        SHORT => {
            checked(last, short_check(front))?;
            let long = format!("{}{front}", PREFIXES[0]);
            let check = long_check(&long);
            format!("{long}{check}")
        }
        _ => return Err(NoIsbn::Shape),
    };
    Ok(Isbn { written: written.to_owned(), digits })
}

fn checked(last: &str, right: char) -> Result<(), NoIsbn> {
    if last.starts_with(right) { Ok(()) } else { Err(NoIsbn::CheckDigit(right)) }
}

/// The last digit of thirteen: with weights of 1 and 3 in turn the sum is a multiple of ten.
fn long_check(front: &str) -> char {
    let weighted = front.chars().filter_map(|c| c.to_digit(10)).zip([1, 3].into_iter().cycle());
    let sum: u32 = weighted.map(|(digit, weight)| digit * weight).sum();
    digit((10 - sum % 10) % 10)
}

/// The last of ten: with weights from 10 down to 1 the sum is a multiple of eleven.
fn short_check(front: &str) -> char {
    let weighted = front.chars().filter_map(|c| c.to_digit(10)).zip((2..=10).rev());
    let sum: u32 = weighted.map(|(digit, weight)| digit * weight).sum();
    digit((11 - sum % 11) % 11)
}

fn digit(value: u32) -> char {
    char::from_digit(value, 10).unwrap_or(TEN)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers that are published as examples: of thirteen digits in the *ISBN Users' Manual* and of both kinds
    /// in the literature on check digits; from memory.
    #[test]
    fn published_numbers_are_right_and_any_other_last_digit_is_wrong() {
        for number in [
            "978-0-11-000222-4",
            "978-3-16-148410-0",
            "978-0-306-40615-7",
            "979-10-90636-07-1",
            "0-306-40615-2",
            "3-16-148410-X",
            "0-8044-2957-X",
            "0-9752298-0-X",
            "99921-58-10-7",
            "960-425-059-0",
        ] {
            let read = isbn(number).expect(number);
            assert_eq!(read.digits.len(), 13, "{number}");
            let (front, right) = number.split_at(number.len() - 1);
            for other in "0123456789X".chars().filter(|c| !right.starts_with(*c)) {
                let wrong = isbn(&format!("{front}{other}")).expect_err("a wrong digit");
                if other == 'X' && number.starts_with("97") {
                    assert_eq!(wrong, NoIsbn::Shape, "{number}");
                } else {
                    let right = right.chars().next().expect("a digit");
                    assert_eq!(wrong, NoIsbn::CheckDigit(right), "{number}");
                }
            }
        }
    }

    #[test]
    fn ten_digits_are_told_as_thirteen() {
        let digits = |number: &str| isbn(number).map(|isbn| isbn.digits);
        assert_eq!(digits("0-306-40615-2"), digits("978-0-306-40615-7"));
        assert_eq!(digits("316148410x"), digits("978 3 16 148410 0"));
    }

    #[test]
    fn what_is_no_number_of_a_book_is_told() {
        for wrong in
            ["", "ISBN 978-0-11-000222-4", "978-0-11-000222", "123-0-11-000222-4", "0-8044-2957-XX"]
        {
            assert_eq!(isbn(wrong), Err(NoIsbn::Shape), "{wrong}");
        }
    }
}
