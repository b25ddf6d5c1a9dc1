//! The forms an answer can have, and which of them a request asks for.

/// What a text is answered with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// All pages as one PDF file.
    Pdf,
    /// One page as SVG.
    Svg,
    /// What is found in the text, its warnings too.
    Report,
}

/// Media types, the one that is answered with where any will do first.
const FORMS: [(&str, Form); 3] =
    [("application/pdf", Form::Pdf), ("image/svg+xml", Form::Svg), ("text/plain", Form::Report)];

/// What of the `Accept` header (RFC 9110, 12.5.1) leaves the choice open.
const ANY: &str = "*/*";

impl Form {
    /// The form that a request likes best, of two it likes as well the one it names first; nothing where it
    /// takes none of them.
    pub fn accepted(accept: &str) -> Option<Self> {
        let mut best: Option<(Self, f32)> = None;
        for range in accept.split(',') {
            let mut parts = range.split(';').map(str::trim);
            let Some(form) = parts.next().and_then(Self::of_range) else { continue };
            let weight = parts.find_map(weight).unwrap_or(1.0);
            if weight > best.map_or(0.0, |(_, weight)| weight) {
                best = Some((form, weight));
            }
        }
        best.map(|(form, _)| form)
    }

    /// The first form of a range of media types.
    fn of_range(range: &str) -> Option<Self> {
        let range = range.to_ascii_lowercase();
        let within = |media: &str| match range.strip_suffix("/*") {
            Some(family) => media.split_once('/').is_some_and(|(own, _)| own == family),
            None => range == media,
        };
        FORMS.iter().find(|(media, _)| range == ANY || within(media)).map(|(_, form)| *form)
    }

    /// Its media type, as it stands in an answer.
    pub fn media(self) -> &'static str {
        match self {
            Self::Pdf => "application/pdf",
            Self::Svg => "image/svg+xml",
            Self::Report => "text/plain; charset=utf-8",
        }
    }
}

/// How much a range is liked, of a parameter `q`.
fn weight(parameter: &str) -> Option<f32> {
    let (name, value) = parameter.split_once('=')?;
    name.trim().eq_ignore_ascii_case("q").then(|| value.trim().parse().unwrap_or(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_form_liked_best_is_taken() {
        for (accept, form) in [
            ("*/*", Some(Form::Pdf)),
            ("application/pdf", Some(Form::Pdf)),
            ("text/html, image/svg+xml", Some(Form::Svg)),
            ("image/*;q=0.8, application/pdf;q=0.5", Some(Form::Svg)),
            ("Image/SVG+XML ; Q=0.1", Some(Form::Svg)),
            ("application/pdf;q=0, text/plain", Some(Form::Report)),
            ("application/pdf;q=0", None),
            ("text/html", None),
            ("", None),
        ] {
            assert_eq!(Form::accepted(accept), form, "{accept}");
        }
    }
}
