//! Small charts where one would rather look than read, as inline SVG without styles; colours live in `static/css/`.
//! Each says in words what it shows; the page gives the numbers beside it as a list or a table.

use super::rod::escape;
use std::fmt::Write;

/// One mark on a strip of dots.
#[derive(Clone, Debug, PartialEq)]
pub struct Dot {
    /// place along the strip, in the score's own unit
    pub value: f64,
    /// the reader's own
    pub you: bool,
}

/// One bar, or one point of a line.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// what stands under it, e.g. a week
    pub label: String,
    /// how high; what is not finite counts as zero in bars and is left out of lines
    pub value: f64,
    /// this week, or the newest
    pub now: bool,
}

/// Percent of the room left free at each side, so that the outermost marks stay whole.
const MARGIN: f64 = 4.0;
/// Dots closer than this, in percent of the room, are stacked: a dot's width on a phone.
const DOT_ROOM: f64 = 4.0;
/// Pixels from one level to the next, and how many levels there are.
const DOT_STEP: usize = 13;
const DOT_LEVELS: usize = 6;
/// Height of the drawing, and of the words under it.
const HEIGHT: f64 = 120.0;
/// Labels that fit under a chart on a phone.
const LABELS: usize = 7;

/// Results as a strip of dots, the reader's own larger and named; dots that would lie on each other are stacked. `better_left`:
/// less is better, as for times; the better end is always at the right. `worst` and `best` are the words at the two ends, e.g.
/// `12:40` and `8:05`.
#[must_use]
pub fn dots(title: &str, dots: &[Dot], better_left: bool, worst: &str, best: &str) -> String {
    dots_of(title, dots, dots.len(), better_left, worst, best)
}

/// As [`dots`], where `dots` are some of `total` results: a crowd is drawn by a few of it, evenly by place.
#[must_use]
pub fn dots_of(title: &str, dots: &[Dot], total: usize, better_left: bool, worst: &str, best: &str) -> String {
    let left_out = dots.iter().filter(|d| !d.value.is_finite()).count();
    let total = total.saturating_sub(left_out);
    let dots: Vec<&Dot> = dots.iter().filter(|d| d.value.is_finite()).collect();
    let (low, high) = span(dots.iter().map(|d| d.value));
    let place = |d: &&Dot| {
        let share = if high > low { (d.value - low) / (high - low) } else { 0.5 };
        within(if better_left { 1.0 - share } else { share })
    };
    let mine: Vec<f64> = dots.iter().filter(|d| d.you).map(place).collect();
    let stacked = stack(dots.iter().filter(|d| !d.you).map(place).collect(), &mine);
    let levels = stacked.iter().map(|(_, level)| level + 1).max().unwrap_or(1);
    let axis = 14 + (levels - 1) * DOT_STEP;
    let mut svg = format!(
        r#"<svg class="dots" width="100%" height="{}" role="img" aria-label="{}: {} from {} to {}.{}"><line class="axis" x1="0%" x2="100%" y1="{axis}" y2="{axis}"/>"#,
        axis + 50,
        escape(title),
        if total == 1 { "1 result,".to_owned() } else { format!("{total} results,") },
        escape(worst),
        escape(best),
        if mine.is_empty() { "" } else { " Yours is marked." }
    );
    for (x, level) in stacked {
        let _ = write!(svg, r#"<circle class="dot" cx="{}" cy="{}" r="6"/>"#, percent(x), axis - level * DOT_STEP);
    }
    for at in mine {
        let (x, anchor) = (percent(at), anchor(at));
        let _ = write!(
            svg,
            r#"<circle class="dot you" cx="{x}" cy="{axis}" r="9"/><text class="you" x="{x}" y="{}" text-anchor="{anchor}">you</text>"#,
            axis + 25
        );
    }
    let ends = axis + 46;
    let _ = write!(
        svg,
        r#"<text x="0%" y="{ends}">{}</text><text x="100%" y="{ends}" text-anchor="end">{}</text></svg>"#,
        escape(worst),
        escape(best)
    );
    svg
}

/// Gives each place along the strip a level, so that neighbours do not hide each other; `taken` are places on the lowest level. On
/// the top level dots may overlap, and those that would hide each other are drawn once: a strip stays small with any crowd.
fn stack(mut places: Vec<f64>, taken: &[f64]) -> Vec<(f64, usize)> {
    places.sort_by(f64::total_cmp);
    let mut last = [f64::NEG_INFINITY; DOT_LEVELS];
    let mut out = Vec::with_capacity(places.len());
    for x in places {
        let free = |level: usize| x - last[level] >= DOT_ROOM && (level > 0 || taken.iter().all(|t| (t - x).abs() >= DOT_ROOM));
        let top = DOT_LEVELS - 1;
        let level = (0..top).find(|l| free(*l)).unwrap_or(top);
        if level == top && x - last[top] < 0.5 {
            continue;
        }
        last[level] = x;
        out.push((x, level));
    }
    out
}

/// Amounts beside each other from zero up, e.g. the load of each week.
#[must_use]
pub fn bars(title: &str, marks: &[Mark]) -> String {
    let value = |m: &Mark| if m.value.is_finite() { m.value.max(0.0) } else { 0.0 };
    let top = marks.iter().map(value).fold(0.0_f64, f64::max);
    let mut svg = open("bars", title, marks);
    let slot = 100.0 / marks.len().max(1) as f64;
    for (i, mark) in marks.iter().enumerate() {
        let high = if top > 0.0 { value(mark) / top * (HEIGHT - 22.0) } else { 0.0 };
        let (from, y) = (slot * i as f64, HEIGHT - high);
        let class = if mark.now { "bar now" } else { "bar" };
        let _ = write!(
            svg,
            r#"<rect class="{class}" x="{}" y="{y:.1}" width="{}" height="{high:.1}"/>"#,
            percent(from + slot * 0.15),
            percent(slot * 0.7)
        );
        if named(i, marks.len()) || mark.now {
            let x = percent(from + slot / 2.0);
            let _ = write!(svg, r#"<text x="{x}" y="{:.1}" text-anchor="middle">{:.0}</text>"#, y - 5.0, value(mark));
        }
    }
    labels(&mut svg, marks, |i| (slot * (i as f64 + 0.5), "middle"));
    svg.push_str("</svg>");
    svg
}

/// One amount over time, e.g. an estimated best of a lift; the scale runs from the least to the most, not from zero.
#[must_use]
pub fn line(title: &str, marks: &[Mark]) -> String {
    let shown: Vec<Mark> = marks.iter().filter(|m| m.value.is_finite()).cloned().collect();
    let (low, high) = span(shown.iter().map(|m| m.value));
    let across = |i: usize| if shown.len() > 1 { within(i as f64 / (shown.len() - 1) as f64) } else { 50.0 };
    let up = |value: f64| if high > low { HEIGHT - 10.0 - (value - low) / (high - low) * (HEIGHT - 36.0) } else { HEIGHT / 2.0 };
    let mut svg = open("trend", title, &shown);
    for (i, pair) in shown.windows(2).enumerate() {
        let (x1, x2) = (percent(across(i)), percent(across(i + 1)));
        let _ = write!(
            svg,
            r#"<line class="path" x1="{x1}" y1="{:.1}" x2="{x2}" y2="{:.1}"/>"#,
            up(pair[0].value),
            up(pair[1].value)
        );
    }
    for (i, mark) in shown.iter().enumerate() {
        let (at, y) = (across(i), up(mark.value));
        let x = percent(at);
        let (class, r) = if mark.now { ("dot you", 7) } else { ("dot", 5) };
        let _ = write!(svg, r#"<circle class="{class}" cx="{x}" cy="{y:.1}" r="{r}"/>"#);
        if i == 0 || mark.now || i + 1 == shown.len() {
            let _ = write!(svg, r#"<text x="{x}" y="{:.1}" text-anchor="{}">{}</text>"#, y - 12.0, anchor(at), short(mark.value));
        }
    }
    labels(&mut svg, &shown, |i| (across(i), anchor(across(i))));
    svg.push_str("</svg>");
    svg
}

fn open(class: &str, title: &str, marks: &[Mark]) -> String {
    let said: Vec<String> = marks.iter().map(|m| format!("{} {}", escape(&m.label), short(m.value))).collect();
    format!(
        r#"<svg class="{class}" width="100%" height="{}" role="img" aria-label="{}: {}."><line class="axis" x1="0%" x2="100%" y1="{HEIGHT}" y2="{HEIGHT}"/>"#,
        HEIGHT + 22.0,
        escape(title),
        if said.is_empty() { "nothing yet".to_owned() } else { said.join(", ") }
    )
}

/// Words under the marks: as many as fit on a phone, the last always.
fn labels(svg: &mut String, marks: &[Mark], place: impl Fn(usize) -> (f64, &'static str)) {
    for (i, mark) in marks.iter().enumerate().filter(|(i, _)| named(*i, marks.len())) {
        let (x, anchor) = place(i);
        let _ = write!(
            svg,
            r#"<text x="{}" y="{}" text-anchor="{anchor}">{}</text>"#,
            percent(x),
            HEIGHT + 17.0,
            escape(&mark.label)
        );
    }
}

/// Every mark is named while they are few; then every second, third ..., counted back from the last.
fn named(i: usize, of: usize) -> bool {
    (of - 1 - i).is_multiple_of(of.div_ceil(LABELS))
}

fn span(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
}

fn within(share: f64) -> f64 {
    MARGIN + share * (100.0 - 2.0 * MARGIN)
}

/// A word near an end is drawn toward the middle.
fn anchor(at: f64) -> &'static str {
    match at {
        x if x < 12.0 => "start",
        x if x > 88.0 => "end",
        _ => "middle",
    }
}

/// At most one decimal, and none where it says nothing.
fn short(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map(str::to_owned).unwrap_or(text)
}

fn percent(p: f64) -> String {
    format!("{p:.2}%")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mark(label: &str, value: f64) -> Mark {
        Mark { label: label.to_owned(), value, now: false }
    }

    fn places(svg: &str, what: &str, key: &str) -> Vec<f64> {
        let key = format!(" {key}=\"");
        svg.split('<')
            .filter(|tag| tag.starts_with(what))
            .filter_map(|tag| tag.split(&key).nth(1)?.split(['%', '"']).next()?.parse().ok())
            .collect()
    }

    #[test]
    fn the_faster_time_stands_at_the_right() {
        let svg = dots("Row", &[Dot { value: 500.0, you: false }, Dot { value: 400.0, you: true }], true, "8:20", "6:40");
        assert_eq!(places(&svg, "circle class=\"dot\"", "cx"), [4.0]);
        assert_eq!(places(&svg, "circle class=\"dot you\"", "cx"), [96.0]);
    }

    #[test]
    fn a_single_result_stands_in_the_middle() {
        let svg = dots("Row", &[Dot { value: 3.0, you: false }], false, "3", "3");
        assert_eq!(places(&svg, "circle", "cx"), [50.0]);
    }

    #[test]
    fn dots_tell_how_many_and_whether_one_is_yours() {
        let svg = dots("Row", &[Dot { value: 3.0, you: true }, Dot { value: f64::NAN, you: false }], false, "3", "3");
        assert!(svg.contains("Row: 1 result, from 3 to 3. Yours is marked."), "{svg}");
    }

    #[test]
    fn equal_results_are_stacked_and_the_readers_own_keeps_its_place() {
        assert_eq!(stack(vec![50.0, 10.0, 50.0], &[]), [(10.0, 0), (50.0, 0), (50.0, 1)]);
        assert_eq!(stack(vec![50.0], &[51.0]), [(50.0, 1)]);
    }

    #[test]
    fn ten_thousand_results_are_still_a_small_picture() {
        let crowd: Vec<Dot> = (0..10_000).map(|i| Dot { value: f64::from(i % 977), you: false }).collect();
        let svg = dots("Row", &crowd, false, "0", "976");
        assert!(svg.len() < 40_000, "{} bytes", svg.len());
        assert!(svg.contains("10000 results"));
    }

    #[test]
    fn a_bar_half_as_much_is_half_as_high() {
        let heights = places(&bars("Load", &[mark("a", 200.0), mark("b", 100.0)]), "rect", "height");
        assert!((heights[0] - 2.0 * heights[1]).abs() < 0.11, "{heights:?}");
    }

    #[test]
    fn weeks_of_nothing_are_drawn_flat() {
        assert_eq!(places(&bars("Load", &[mark("a", 0.0), mark("b", f64::NAN)]), "rect", "height"), [0.0, 0.0]);
    }

    #[test]
    fn a_lift_that_rises_goes_up_on_the_page() {
        let y = places(&line("Squat", &[mark("Jan", 60.0), mark("Feb", 62.5), mark("Mar", 70.0)]), "circle", "cy");
        assert!(y[0] > y[1] && y[1] > y[2], "{y:?}");
    }

    #[test]
    fn a_line_without_a_number_skips_it() {
        let svg = line("Squat", &[mark("Jan", 60.0), mark("Feb", f64::NAN), mark("Mar", 70.0)]);
        assert_eq!(places(&svg, "circle", "cx").len(), 2);
        assert!(svg.contains("Squat: Jan 60, Mar 70."));
    }

    #[test]
    fn labels_thin_out_and_keep_the_last() {
        let kept: Vec<usize> = (0..26).filter(|i| named(*i, 26)).collect();
        assert_eq!(kept.last(), Some(&25));
        assert!(kept.len() <= LABELS, "{kept:?}");
    }

    #[test]
    fn nothing_to_draw_says_so() {
        assert!(bars("Load", &[]).contains("Load: nothing yet.") && line("Squat", &[]).contains("Squat: nothing yet."));
    }

    #[test]
    fn words_are_escaped() {
        let svg = bars("<b>", &[mark("\"&", 1.0)]) + &dots("<i>", &[], false, "<u>", "'");
        assert!(!svg.contains("<b>") && !svg.contains("<i>") && !svg.contains("<u>") && svg.contains("&quot;&amp;"));
    }
}
