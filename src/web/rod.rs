//! The rod: a session drawn as a piece of wood cut into parts. A part's length is its minutes, its grain and tone its purpose,
//! its thickness how hard it is; a part that is done is stained pine. Inline SVG without styles; colours live in `static/css/`.
//!
//! # Design
//! Places along the rod are percentages and the SVG has no view box, so a rod fits any room while its grain keeps its size. Each
//! rod brings its own patterns under its own id: one shared set per page would be smaller, but a page that forgets it, or swaps
//! a rod in later, would show bare wood.

use crate::training::session::Intent;
use std::fmt::Write;

/// One stretch of a rod.
#[derive(Clone, Debug, PartialEq)]
pub struct RodPart {
    /// as the coach named it
    pub name: String,
    /// what it is for
    pub intent: Intent,
    /// how long; zero and less is drawn as a sliver
    pub minutes: f64,
    /// how hard, 0-10
    pub effort: u8,
    /// logged by whoever looks
    pub done: bool,
}

/// Shorter parts are drawn this long, in minutes, so that they can be seen.
const SLIVER: f64 = 0.75;
/// Height of a rod lying down: the wood, and the numbers under it.
const WOOD: f64 = 40.0;
const NUMBERS: f64 = 20.0;
/// Width of a rod standing up.
const STANDING: f64 = 26.0;
/// A part takes its number of minutes under it only when it is at least this much of the room.
const ROOM_FOR_NUMBER: f64 = 6.0;

/// A session lying down, as long as the room: for the coach's page of one session. `id` is this rod's own on the page.
#[must_use]
pub fn session_rod(id: &str, parts: &[RodPart]) -> String {
    week_rod(id, parts, 0.0)
}

/// A session lying down, to the scale of a week: `longest` is the minutes of the longest session that stands beside it.
#[must_use]
pub fn week_rod(id: &str, parts: &[RodPart], longest: f64) -> String {
    let cuts = cuts(parts, longest);
    let mut svg = open(id, "rod", parts, &format!(r#"width="100%" height="{}""#, WOOD + NUMBERS));
    let middle = WOOD / 2.0;
    for (part, cut) in parts.iter().zip(&cuts) {
        let thick = thickness(part.effort, WOOD - 2.0);
        let top = middle - thick / 2.0;
        let (x, w) = (percent(cut.from), percent(cut.length));
        let place = |y: f64, h: f64| format!(r#"x="{x}" y="{y:.1}" width="{w}" height="{h:.1}""#);
        let _ = write!(svg, r#"<rect {} fill="url(#{id}-{})"/>"#, place(top, thick), grain_of(part));
        let _ = write!(svg, r#"<rect class="underside" {}/>"#, place(top + thick * 0.72, thick * 0.28));
        let _ = write!(svg, r#"<rect class="cut" {} rx="2"/>"#, place(top, thick));
        if part.done {
            svg.push_str(&done_mark(&percent(cut.middle()), &format!("{middle}")));
        }
        if cut.length >= ROOM_FOR_NUMBER {
            let _ = write!(svg, r#"<text x="{}" y="{}">{:.0}</text>"#, percent(cut.middle()), WOOD + 16.0, part.minutes.max(1.0));
        }
    }
    for at in cuts.iter().map(|c| c.from).chain(cuts.last().map(|c| c.from + c.length)) {
        let x = percent(at);
        let _ = write!(svg, r#"<line class="tick" x1="{x}" x2="{x}" y1="{}" y2="{}"/>"#, WOOD + 4.0, WOOD + 12.0);
    }
    svg.push_str("</svg>");
    svg
}

/// A session standing up, as high as the room: for the phone's left edge, where it fills as parts are done and the next one to do
/// has a stronger edge.
#[must_use]
pub fn edge_rod(id: &str, parts: &[RodPart]) -> String {
    let mut svg = open(id, "edge-rod", parts, r#"width="26" height="100%""#);
    let middle = STANDING / 2.0;
    let next = parts.iter().position(|p| !p.done);
    for (i, (part, cut)) in parts.iter().zip(cuts(parts, 0.0)).enumerate() {
        let thick = thickness(part.effort, STANDING - 2.0);
        let left = middle - thick / 2.0;
        let (y, h) = (percent(cut.from), percent(cut.length));
        let place = |x: f64, w: f64| format!(r#"x="{x:.1}" y="{y}" width="{w:.1}" height="{h}""#);
        let _ = write!(svg, r#"<rect {} fill="url(#{id}-{})"/>"#, place(left, thick), grain_of(part));
        let _ = write!(svg, r#"<rect class="underside" {}/>"#, place(left + thick * 0.72, thick * 0.28));
        let edge = if next == Some(i) { "cut now" } else { "cut" };
        let _ = write!(svg, r#"<rect class="{edge}" {} rx="2"/>"#, place(left, thick));
        if part.done {
            svg.push_str(&done_mark(&format!("{middle}"), &percent(cut.middle())));
        }
    }
    svg.push_str("</svg>");
    svg
}

/// What the grains mean: a list for the foot of a page with rods.
#[must_use]
pub fn key(id: &str) -> String {
    let mut list = String::from(r#"<ul class="rod-key">"#);
    for intent in [Intent::Prep, Intent::Technique, Intent::Strength, Intent::Conditioning, Intent::Mobility] {
        let name = intent_word(intent);
        let own = format!("{id}-{name}");
        let _ = write!(
            list,
            r##"<li><svg class="swatch" width="34" height="20" aria-hidden="true"><defs>{}</defs><rect x="1" y="1" width="32" height="18" fill="url(#{own}-{name})"/><rect class="cut" x="1" y="1" width="32" height="18" rx="2"/></svg>{name}</li>"##,
            pattern(&own, name)
        );
    }
    list.push_str("<li>thicker: harder</li><li>longer: more minutes</li></ul>");
    list
}

/// The rod in words: what a reader hears instead of the picture.
#[must_use]
pub fn in_words(parts: &[RodPart]) -> String {
    if parts.is_empty() {
        return String::from("No parts yet.");
    }
    let said: Vec<String> = parts
        .iter()
        .map(|p| {
            let done = if p.done { ", done" } else { "" };
            format!(
                "{}: {}, {:.0} min, effort {} of 10{done}",
                p.name,
                intent_word(p.intent),
                p.minutes.max(1.0),
                p.effort.min(10)
            )
        })
        .collect();
    format!("{}.", said.join("; "))
}

/// Escapes text for HTML and for attributes.
#[must_use]
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// Where a part lies, in percent of the room.
struct Cut {
    from: f64,
    length: f64,
}

impl Cut {
    fn middle(&self) -> f64 {
        self.from + self.length / 2.0
    }
}

/// The parts one after the other; the whole is the room, or its share of `longest` minutes.
fn cuts(parts: &[RodPart], longest: f64) -> Vec<Cut> {
    let minutes = |p: &RodPart| if p.minutes.is_finite() { p.minutes.max(SLIVER) } else { SLIVER };
    let whole = parts.iter().map(minutes).sum::<f64>().max(longest);
    let mut from = 0.0;
    parts
        .iter()
        .map(|part| {
            let length = minutes(part) / whole * 100.0;
            let cut = Cut { from, length };
            from += length;
            cut
        })
        .collect()
}

/// Thickness by effort: at 0 still thick enough to see the grain, at 10 the whole.
fn thickness(effort: u8, whole: f64) -> f64 {
    whole * (0.34 + 0.66 * f64::from(effort.min(10)) / 10.0)
}

fn open(id: &str, class: &str, parts: &[RodPart], size: &str) -> String {
    let mut svg = format!(
        r#"<svg class="{class}" {size} role="img" aria-labelledby="{id}-t {id}-d"><title id="{id}-t">The session as a rod</title>"#
    );
    let _ = write!(svg, r#"<desc id="{id}-d">{}</desc><defs>"#, escape(&in_words(parts)));
    let mut grains: Vec<&str> = parts.iter().map(grain_of).collect();
    grains.sort_unstable();
    grains.dedup();
    for grain in grains {
        svg.push_str(&pattern(id, grain));
    }
    svg.push_str("</defs>");
    svg
}

fn grain_of(part: &RodPart) -> &'static str {
    match (part.done, part.intent) {
        (true, _) => "done",
        (false, intent) => intent_word(intent),
    }
}

fn intent_word(intent: Intent) -> &'static str {
    match intent {
        Intent::Prep => "prep",
        Intent::Technique => "technique",
        Intent::Strength => "strength",
        Intent::Conditioning => "conditioning",
        Intent::Mobility => "mobility",
    }
}

/// A tile of wood. Each purpose has its own marks, so that it reads without colour: long quiet grain for prep, slanted
/// pencil strokes for technique, close upright grain for strength, waves for conditioning, dots for mobility.
fn pattern(id: &str, grain: &str) -> String {
    let (size, marks) = match grain {
        "prep" => ((28, 9), r#"<path class="grain" d="M0 2.5H19M8 7H28"/>"#),
        "technique" => ((8, 8), r#"<path class="grain" d="M-2 2L2-2M0 8L8 0M6 10L10 6"/>"#),
        "strength" => ((4, 8), r#"<path class="grain" d="M2 0V8"/>"#),
        "conditioning" => ((14, 8), r#"<path class="grain" d="M0 4Q3.5-1 7 4T14 4"/>"#),
        "mobility" => {
            ((10, 10), r#"<circle class="grain-dot" cx="3" cy="3" r="1.1"/><circle class="grain-dot" cx="8" cy="8" r="1.1"/>"#)
        }
        _ => ((8, 8), ""),
    };
    let tone = if grain == "done" { "done-fill".to_owned() } else { format!("wood {grain}") };
    format!(
        r#"<pattern id="{id}-{grain}" width="{w}" height="{h}" patternUnits="userSpaceOnUse"><rect class="{tone}" width="{w}" height="{h}"/>{marks}</pattern>"#,
        w = size.0,
        h = size.1
    )
}

fn done_mark(x: &str, y: &str) -> String {
    format!(r#"<svg x="{x}" y="{y}" overflow="visible"><path class="done-mark" d="M-5 0l3.5 4L5-4"/></svg>"#)
}

fn percent(p: f64) -> String {
    format!("{p:.2}%")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(name: &str, intent: Intent, minutes: f64, effort: u8) -> RodPart {
        RodPart { name: name.to_owned(), intent, minutes, effort, done: false }
    }

    fn three() -> Vec<RodPart> {
        vec![
            part("Warm-up", Intent::Prep, 10.0, 2),
            part("Squat", Intent::Strength, 20.0, 8),
            part("Stretch", Intent::Mobility, 10.0, 1),
        ]
    }

    #[test]
    fn a_part_is_as_long_as_its_minutes() {
        let lengths: Vec<f64> = cuts(&three(), 0.0).iter().map(|c| c.length).collect();
        assert_eq!(lengths, [25.0, 50.0, 25.0]);
    }

    #[test]
    fn in_a_week_a_shorter_session_is_a_shorter_rod() {
        let end = cuts(&three(), 80.0).last().map(|c| c.from + c.length);
        assert_eq!(end, Some(50.0));
    }

    #[test]
    fn a_session_longer_than_the_given_longest_still_fits() {
        let end: f64 = cuts(&three(), 5.0).iter().map(|c| c.length).sum();
        assert!((end - 100.0).abs() < 1e-9);
    }

    #[test]
    fn a_harder_part_is_thicker_and_none_outgrows_the_rod() {
        assert!(thickness(2, 38.0) < thickness(8, 38.0));
        assert!((thickness(200, 38.0) - 38.0).abs() < 1e-9);
    }

    #[test]
    fn minutes_that_make_no_sense_still_draw_a_finite_rod() {
        let odd =
            [part("a", Intent::Prep, f64::NAN, 0), part("b", Intent::Prep, -3.0, 0), part("c", Intent::Prep, f64::INFINITY, 0)];
        let svg = session_rod("r", &odd);
        assert!(!svg.contains(r#"x="NaN"#) && !svg.contains(r#"width="inf"#) && !svg.contains(r#"width="NaN"#), "{svg}");
    }

    #[test]
    fn each_purpose_has_marks_of_its_own() {
        let marks: std::collections::BTreeSet<String> = ["prep", "technique", "strength", "conditioning", "mobility"]
            .iter()
            .map(|g| pattern("r", g).replace(g, ""))
            .collect();
        assert_eq!(marks.len(), 5);
    }

    #[test]
    fn a_part_that_is_done_is_stained_and_ticked() {
        let mut parts = three();
        assert!(!edge_rod("r", &parts).contains("done-mark"));
        parts[0].done = true;
        let svg = edge_rod("r", &parts);
        assert!(svg.contains("url(#r-done)") && svg.contains("done-mark") && svg.contains("effort 2 of 10, done"));
    }

    #[test]
    fn the_next_part_to_do_has_a_stronger_edge_until_all_are_done() {
        let mut parts = three();
        parts[0].done = true;
        let before_the_mark = |svg: &str| svg.split("cut now").next().map(|s| s.matches("class=\"cut").count());
        assert_eq!(before_the_mark(&edge_rod("r", &parts)), Some(1));
        parts.iter_mut().for_each(|p| p.done = true);
        assert!(!edge_rod("r", &parts).contains("cut now"));
    }

    #[test]
    fn names_cannot_break_out_of_the_picture() {
        let svg = session_rod("r", &[part(r#"</desc><script>"&'"#, Intent::Prep, 5.0, 3)]);
        assert!(svg.contains("&lt;/desc&gt;&lt;script&gt;&quot;&amp;&#39;") && !svg.contains("<script>"));
    }

    #[test]
    fn no_parts_give_an_empty_rod_that_says_so() {
        let svg = session_rod("r", &[]);
        assert!(svg.contains("No parts yet.") && svg.ends_with("</svg>"));
    }

    #[test]
    fn two_rods_on_a_page_share_no_id() {
        let ids = |svg: &str| -> Vec<String> {
            svg.split(" id=\"").skip(1).filter_map(|s| s.split('"').next().map(str::to_owned)).collect()
        };
        let (mon, tue) = (ids(&session_rod("mon", &three())), ids(&session_rod("tue", &three())));
        assert_eq!(mon.len(), 5);
        assert!(mon.iter().all(|id| !tue.contains(id)));
    }

    #[test]
    fn nothing_is_styled_inline() {
        let all = session_rod("a", &three()) + &edge_rod("b", &three()) + &key("c");
        assert!(!all.contains("style"));
    }
}
