//! What an uploaded file is.

/// Bytes that are looked at to tell what a file is.
pub(super) const HEAD: usize = 4096;

/// The file's own name, without folders, for people to read; it never becomes a path.
pub(super) fn shown_name(name: &str) -> String {
    let own = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let shown: String = own.chars().filter(|c| !c.is_control()).take(100).collect();
    if shown.trim().is_empty() { "video".to_owned() } else { shown }
}

/// Brands of video.
const VIDEO: [&[u8]; 17] = [
    b"isom", b"iso2", b"iso3", b"iso4", b"iso5", b"iso6", b"iso7", b"iso8", b"iso9", b"mp41", b"mp42", b"avc1", b"M4V ", b"M4VH",
    b"MSNV", b"dash", b"3gp5",
];
/// Brands of pictures and of sound alone, which may name those of video beside their own.
const NO_VIDEO: [&[u8]; 16] = [
    b"avif", b"avis", b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"crx ", b"M4A ", b"M4B ", b"M4P ",
    b"F4A ", b"F4B ",
];

/// What a file is by its first bytes, whatever its name says: ISO base media (ISO/IEC 14496-12: box `ftyp` with a brand of
/// video, its own or one that it is compatible with), QuickTime from before that box, or WebM (an EBML header, RFC 8794, whose
/// document type is `webm`).
pub(super) fn kind(head: &[u8]) -> Option<&'static str> {
    if head.get(4..8) == Some(b"ftyp") {
        return by_brand(head);
    }
    if is_older_movie(head) {
        return Some("video/quicktime");
    }
    let doctype = b"\x42\x82\x84webm";
    let webm = head.starts_with(b"\x1a\x45\xdf\xa3") && head[..head.len().min(64)].windows(doctype.len()).any(|w| w == doctype);
    webm.then_some("video/webm")
}

/// By the brand of the box, then by those that it lists: cameras and editors have brands of their own.
fn by_brand(head: &[u8]) -> Option<&'static str> {
    let brand = head.get(8..12)?;
    if brand == b"qt  " {
        return Some("video/quicktime");
    }
    let size = usize::try_from(u32::from_be_bytes(head.first_chunk().copied()?)).ok()?;
    let listed = head.get(16..size.min(head.len())).unwrap_or_default();
    let mut all = std::iter::once(brand).chain(listed.chunks_exact(4));
    (!NO_VIDEO.contains(&brand) && all.any(|b| VIDEO.contains(&b))).then_some("video/mp4")
}

/// `wide` and then the picture's own bytes, those bytes at once, or the index first (QuickTime File Format: atoms).
fn is_older_movie(head: &[u8]) -> bool {
    let atom = |at: usize| head.get(at + 4..at + 8);
    match (head.first_chunk::<4>().map(|size| u32::from_be_bytes(*size)), atom(0)) {
        (Some(8), Some(b"wide")) => atom(8) == Some(b"mdat"),
        (Some(size), Some(b"mdat")) => size == 1 || size > 8,
        (Some(_), Some(b"moov")) => atom(8) == Some(b"mvhd"),
        _ => false,
    }
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
    fn a_camera_with_a_brand_of_its_own_says_what_else_can_play_it() {
        for own in ["XAVC", "CAEP", "3gp4", "f4v ", "av01", "hvc1"] {
            let head = [&b"\x00\x00\x00\x18ftyp"[..], own.as_bytes(), b"\x00\x00\x00\x00", own.as_bytes(), b"mp42", b"isommoov"]
                .concat();
            assert_eq!(kind(&head), Some("video/mp4"), "{own}");
            assert_eq!(
                kind(&[&head[..20], b"abcdisommoov"].concat()),
                None,
                "{own}: what stands behind the box is no brand of it"
            );
        }
        for other in ["heic", "avif", "M4A ", "crx "] {
            let head = [&b"\x00\x00\x00\x18ftyp"[..], other.as_bytes(), b"\x00\x00\x00\x00", other.as_bytes(), b"isom"].concat();
            assert_eq!(kind(&head), None, "{other}");
        }
    }

    #[test]
    fn a_film_from_before_brands_is_known_by_its_atoms() {
        assert_eq!(kind(b"\x00\x00\x00\x08wide\x00\x12\x34\x56mdat"), Some("video/quicktime"));
        assert_eq!(kind(b"\x00\x12\x34\x56mdat...."), Some("video/quicktime"));
        assert_eq!(kind(b"\x00\x00\x12\x34moov\x00\x00\x00\x6cmvhd"), Some("video/quicktime"));
        assert_eq!(kind(b"\x00\x00\x00\x08wide\x00\x12\x34\x56text"), None);
        assert_eq!(kind(b"Add moov and mdat"), None);
    }

    #[test]
    fn a_name_never_brings_its_folders() {
        assert_eq!(shown_name("C:\\clips\\mon\u{7}day.mp4"), "monday.mp4");
        assert_eq!(shown_name("../../"), "video");
    }
}
