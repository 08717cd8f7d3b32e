//! Entity tags: a name for the bytes of an answer, so that they are not sent twice (RFC 9110, section 8.8.3).

use axum::http::{HeaderMap, HeaderValue, header};
use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use sha2::{Digest, Sha256};

/// The tag of these bytes; with another encoding it is another.
#[must_use]
pub fn of(body: &[u8]) -> HeaderValue {
    named(&BASE64_URL_SAFE_NO_PAD.encode(&Sha256::digest(body)[..12]))
}

/// The tag of bytes that have a name already.
#[must_use]
pub fn named(name: &str) -> HeaderValue {
    HeaderValue::from_str(&format!("\"{name}\"")).unwrap_or(HeaderValue::from_static("\"\""))
}

/// Whoever asks has these bytes: `If-None-Match` names the tag, or any; it is compared weakly (RFC 9110, section 13.1.2).
#[must_use]
pub fn is_known(headers: &HeaderMap, tag: &HeaderValue) -> bool {
    let Ok(tag) = tag.to_str() else { return false };
    let lists = headers.get_all(header::IF_NONE_MATCH).iter().filter_map(|v| v.to_str().ok());
    lists.flat_map(|list| list.split(',')).map(|t| t.trim().trim_start_matches("W/")).any(|t| t == tag || t == "*")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tag_is_known_in_any_list_weak_or_strong() {
        let tag = named("abc");
        for (asked, known) in
            [("\"abc\"", true), ("W/\"abc\"", true), ("\"x\", \"abc\"", true), ("*", true), ("abc", false), ("\"ab\"", false)]
        {
            let headers = HeaderMap::from_iter([(header::IF_NONE_MATCH, HeaderValue::from_static(asked))]);
            assert_eq!(is_known(&headers, &tag), known, "{asked}");
        }
        assert!(!is_known(&HeaderMap::new(), &tag));
        assert_ne!(of(b"one"), of(b"other"));
    }
}
