//! What an uploaded file is.

/// Bytes that are looked at to tell what a file is.
pub(super) const HEAD: usize = 4096;

/// The file's own name, without folders, for people to read; it never becomes a path.
pub(super) fn shown_name(name: &str) -> String {
    let own = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let shown: String = own.chars().filter(|c| !c.is_control()).take(100).collect();
    if shown.trim().is_empty() { "video".to_owned() } else { shown }
}

/// What a file is by its first bytes, whatever its name says: ISO base media (ISO/IEC 14496-12: box `ftyp` with a brand of
/// video) or WebM (an EBML header, RFC 8794, whose document type is `webm`).
pub(super) fn kind(head: &[u8]) -> Option<&'static str> {
    const VIDEO: [&[u8]; 17] = [
        b"isom", b"iso2", b"iso3", b"iso4", b"iso5", b"iso6", b"iso7", b"iso8", b"iso9", b"mp41", b"mp42", b"avc1", b"M4V ",
        b"M4VH", b"MSNV", b"dash", b"3gp5",
    ];
    if head.get(4..8) == Some(b"ftyp") {
        let brand = head.get(8..12)?;
        if brand == b"qt  " {
            return Some("video/quicktime");
        }
        return VIDEO.contains(&brand).then_some("video/mp4");
    }
    let doctype = b"\x42\x82\x84webm";
    let webm = head.starts_with(b"\x1a\x45\xdf\xa3") && head[..head.len().min(64)].windows(doctype.len()).any(|w| w == doctype);
    webm.then_some("video/webm")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_what_its_first_bytes_say() {
        assert_eq!(kind(b"\x00\x00\x00\x18ftypisom\x00\x00\x02\x00"), Some("video/mp4"));
        assert_eq!(kind(b"\x00\x00\x00\x14ftypqt  \x00\x00\x02\x00"), Some("video/quicktime"));
        assert_eq!(kind(b"\x1a\x45\xdf\xa3\x9f\x42\x86\x81\x01\x42\x82\x84webm\x42\x87\x81\x04"), Some("video/webm"));
        for none in [&b"\x00\x00\x00\x18ftypheic"[..], b"<html>", b"", b"\x1a\x45\xdf\xa3\x42\x82\x88matroska", b"ftypisom"] {
            assert_eq!(kind(none), None, "{none:?}");
        }
    }

    #[test]
    fn a_name_never_brings_its_folders() {
        assert_eq!(shown_name("C:\\clips\\mon\u{7}day.mp4"), "monday.mp4");
        assert_eq!(shown_name("../../"), "video");
    }
}
