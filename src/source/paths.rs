//! Paths of files named in others, with `/` between folders.

/// The path of a file named in another, both from the same place.
pub(crate) fn beside(file: &str, name: &str) -> String {
    let absolute = name.starts_with('/');
    let folder = file.rfind(['/', '\\']).map_or("", |end| &file[..=end]);
    plain(&if absolute { name.to_owned() } else { format!("{folder}{name}") })
}

/// A path without `.` and, where a folder stands before it, without `..`.
pub(crate) fn plain(path: &str) -> String {
    let mut parts: Vec<&str> = Vec::new();
    for part in path.split('/') {
        match (part, parts.last()) {
            (".", _) | ("", Some(_)) => {}
            ("..", Some(last)) if !matches!(*last, ".." | "") => {
                parts.pop();
            }
            _ => parts.push(part),
        }
    }
    parts.join("/")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_starts_from_the_folder_of_its_file() {
        assert_eq!(beside("book.flam", "one.flam"), "one.flam");
        assert_eq!(beside("a/book.flam", "b/one.flam"), "a/b/one.flam");
        assert_eq!(beside("a/b/one.flam", "../two.flam"), "a/two.flam");
        assert_eq!(beside("one.flam", "../two.flam"), "../two.flam");
        assert_eq!(beside("/a/one.flam", "./x//two.flam"), "/a/x/two.flam");
        assert_eq!(beside("a/one.flam", "/b/two.flam"), "/b/two.flam");
    }
}
