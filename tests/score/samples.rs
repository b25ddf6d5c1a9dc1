//! The samples of the language, read whole.

use super::dump;

#[test]
fn shows() {
    for f in ["handout", "odd", "rudiments"] {
        println!(
            "{}",
            dump(&std::fs::read_to_string(format!("/work/shared/brief/samples/{f}.flam")).unwrap())
        );
    }
}
