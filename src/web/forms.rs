//! What forms share: errors beside their fields.

/// Errors by field name.
#[derive(Clone, Debug, Default)]
pub struct Errors(Vec<(String, String)>);

impl Errors {
    /// Adds an error beside a field.
    pub fn add(&mut self, field: impl Into<String>, text: impl Into<String>) {
        self.0.push((field.into(), text.into()));
    }

    /// Adds the error where `ok` does not hold.
    pub fn check(&mut self, ok: bool, field: &str, text: &str) {
        if !ok {
            self.add(field, text);
        }
    }

    /// The first error beside this field.
    #[must_use]
    pub fn of(&self, field: &str) -> Option<&str> {
        self.0.iter().find(|(f, _)| f == field).map(|(_, text)| text.as_str())
    }

    /// Field and text, in order.
    pub fn all(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().map(|(field, text)| (field.as_str(), text.as_str()))
    }

    /// No errors at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// How many.
    #[must_use]
    pub fn len(&self) -> usize {
        self.0.len()
    }
}

/// A checkbox: there when ticked.
#[must_use]
pub fn ticked(field: Option<&String>) -> bool {
    field.is_some()
}

/// An address within Dowel to go back to; anything else becomes the start.
#[must_use]
pub fn own_address(next: Option<&str>) -> &str {
    // browsers take a backslash for a slash and drop tabs and line ends before they look
    let bent = |c: char| c == '\\' || c.is_control();
    next.filter(|n| n.starts_with('/') && !n.starts_with("//") && !n.contains(bent)).unwrap_or("/")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_is_only_sent_on_within_dowel() {
        assert_eq!(own_address(Some("/days/2026-11-25")), "/days/2026-11-25");
        for bad in [
            "//evil.example",
            "https://evil.example",
            "/\\evil.example",
            "javascript:x",
            "/\t/evil.example",
            "/\n/evil.example",
            "/a\u{1}b",
            "/\u{85}/x",
        ] {
            assert_eq!(own_address(Some(bad)), "/", "{bad}");
        }
    }
}
