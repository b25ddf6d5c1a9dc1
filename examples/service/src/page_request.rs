//! Which page a request asks for.

/// The number of a page, from 1, of a request's query; the first where it asks for none.
///
/// # Errors
/// Says what is no number of a page.
pub fn page(query: Option<&str>) -> Result<usize, String> {
    let pairs = query.unwrap_or_default().split('&').filter_map(|pair| pair.split_once('='));
    let Some((_, value)) = pairs.into_iter().find(|(name, _)| *name == "page") else {
        return Ok(1);
    };
    match value.parse() {
        Ok(page) if page > 0 => Ok(page),
        _ => Err("`page` is a number from 1\n".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::page;

    #[test]
    fn pages_are_numbers_from_one() {
        assert_eq!(page(None), Ok(1));
        assert_eq!(page(Some("scale=2&page=3")), Ok(3));
        for query in ["page=0", "page=", "page=-1", "page=1.5", "page=99999999999999999999999"] {
            assert!(page(Some(query)).is_err(), "{query}");
        }
    }
}
