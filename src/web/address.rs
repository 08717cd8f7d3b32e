//! How words stand in an address, and which addresses lead back within Dowel.

use askama::filters::{urlencode, urlencode_strict};

/// A piece of a path: whatever it holds, it stays one piece.
#[must_use]
pub fn piece(text: &str) -> String {
    urlencode_strict(text).map(|s| s.to_string()).unwrap_or_default()
}

/// A value behind `?`; slashes are as good there and stay readable.
#[must_use]
pub fn value(text: &str) -> String {
    urlencode(text).map(|s| s.to_string()).unwrap_or_default()
}

/// An address within Dowel to go back to; anything else becomes the start.
#[must_use]
pub fn own(next: Option<&str>) -> &str {
    // browsers take a backslash for a slash and drop tabs and line ends before they look
    let bent = |c: char| c == '\\' || c.is_control();
    next.filter(|n| n.starts_with('/') && !n.starts_with("//") && !n.contains(bent)).unwrap_or("/")
}

/// The same address, whose page says what was just done and nothing that was done before.
#[must_use]
pub fn saying(next: &str, code: &str) -> String {
    let (before, fragment) = next.split_once('#').map_or((next, String::new()), |(b, f)| (b, format!("#{f}")));
    let (path, query) = before.split_once('?').unwrap_or((before, ""));
    let mut query: Vec<&str> = query.split('&').filter(|q| !q.is_empty() && !q.starts_with("said=")).collect();
    let said = format!("said={code}");
    query.push(&said);
    format!("{path}?{}{fragment}", query.join("&"))
}

/// The same, at this place of the page.
#[must_use]
pub fn saying_at(next: &str, code: &str, place: &str) -> String {
    let next = next.split_once('#').map_or(next, |(before, _)| before);
    format!("{}#{place}", saying(next, code))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_is_only_sent_on_within_dowel() {
        assert_eq!(own(Some("/days/2026-11-25")), "/days/2026-11-25");
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
            assert_eq!(own(Some(bad)), "/", "{bad}");
        }
    }

    /// RFC 3986, section 2.3, for what needs no escape, and 3.3 for what divides a path.
    #[test]
    fn a_piece_is_one_piece_whatever_it_holds() {
        assert_eq!(piece("1/2 get-up"), "1%2F2%20get-up");
        assert_eq!(piece("press #2?"), "press%20%232%3F");
        assert_eq!(piece("a-b_c.d~e"), "a-b_c.d~e");
        assert_eq!(value("/a b?c=d&e"), "/a%20b%3Fc%3Dd%26e");
    }

    #[test]
    fn what_was_done_is_said_once_and_before_the_place_on_the_page() {
        for (next, then) in [
            ("/week", "/week?said=saved"),
            ("/week#thursday", "/week?said=saved#thursday"),
            ("/movements?q=press", "/movements?q=press&said=saved"),
            ("/movements?said=deleted&q=press#found", "/movements?q=press&said=saved#found"),
            ("/week?#", "/week?said=saved#"),
        ] {
            assert_eq!(saying(next, "saved"), then);
        }
        assert_eq!(saying_at("/fitting?all=1#p0l0", "chosen", "p1l2"), "/fitting?all=1&said=chosen#p1l2");
    }
}
