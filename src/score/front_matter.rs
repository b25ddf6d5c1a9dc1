//! What a book says of itself before it begins: its imprint and its dedication.

/// A number of a book by ISO 2108, whose check digit is right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Isbn {
    /// As it is written and printed.
    pub written: String,
    /// Its thirteen digits; one of ten is told as the one of thirteen that stands for the same book.
    pub digits: String,
}

/// What stands in front of a book.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FrontMatter {
    /// For whom it is.
    pub dedication: Option<String>,
    /// Who publishes it.
    pub publisher: Option<String>,
    /// Which edition or printing it is.
    pub printing: Option<String>,
    /// When it came out, from 1 to 9999.
    pub year: Option<u16>,
    /// Who is thanked.
    pub thanks: Option<String>,
    /// Its number.
    pub isbn: Option<Isbn>,
}

impl FrontMatter {
    /// Whether there is anything for the back of a title page.
    #[must_use]
    pub fn has_imprint(&self) -> bool {
        let Self { dedication: _, publisher, printing, year, thanks, isbn } = self;
        let words = [publisher, printing, thanks].into_iter().any(Option::is_some);
        words || year.is_some() || isbn.is_some()
    }

    /// The lines of the imprint: who publishes the book and when, the copyright, the printing, thanks, the
    /// number (*The Chicago Manual of Style*, "Copyright page", from memory). None where nothing is said that
    /// is printed there alone.
    #[must_use]
    pub fn imprint(&self, copyright: Option<&str>) -> Vec<String> {
        if !self.has_imprint() {
            return Vec::new();
        }
        let year = self.year.map(|year| year.to_string());
        let published: Vec<String> = self.publisher.iter().cloned().chain(year).collect();
        let published = (!published.is_empty()).then(|| published.join(", "));
        let isbn = self.isbn.as_ref().map(|isbn| format!("ISBN\u{a0}{}", isbn.written));
        let copyright = copyright.map(str::to_owned);
        let lines = [published, copyright, self.printing.clone(), self.thanks.clone(), isbn];
        lines.into_iter().flatten().collect()
    }
}
