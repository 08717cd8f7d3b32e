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
