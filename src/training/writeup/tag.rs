//! The tagger: walks the tokens once and says what each stretch means, by itself.

mod name;
mod weight;

pub use name::name;

use super::super::dose::{Load, Side};
use super::super::movement::Library;
use super::element::{Doc, Element, Name, What};
use super::lexicon::Lexicon;
use super::marks;
use super::token::{Kind, Token, lex_cells};
use super::words::{is_manner, is_talk, plain};
use super::{clocks, doses, slips, stretch, table};
use std::cell::OnceCell;
use std::collections::HashMap;

/// Reads the text into tokens with their compared forms.
#[must_use]
pub fn doc<'t>(text: &'t str, lexicon: &Lexicon) -> Doc<'t> {
    let tables = table::tables(text);
    let mut tokens = lex_cells(text, &tables.commas);
    // a write-up says the same words again and again
    let mut known: HashMap<(&str, bool), Forms> = HashMap::new();
    // `5 ronds`: a number's unit is read from its token
    let (mut units, mut counts) = (Vec::new(), false);
    let (mut low, mut plains, mut mended) = (Vec::new(), Vec::new(), Vec::new());
    for (at, token) in tokens.iter().enumerate() {
        let forms = known.entry((token.text, token.kind == Kind::Word)).or_insert_with(|| Forms::of(token, lexicon));
        units.extend(forms.unit.filter(|_| counts).map(|meant| (at, meant)));
        counts = token.kind == Kind::Number;
        low.push(forms.low.clone());
        plains.push(forms.plain.clone());
        mended.push(forms.mended.clone());
    }
    for (at, meant) in units {
        tokens[at].text = meant;
    }
    gerunds(&low, &mut plains, &mut mended);
    Doc { text, tables, tokens, low, plain: plains, mended }
}

/// `we're front squatting`, `today it's deadlifting`: behind such a word a lift is named by its verb.
fn gerunds(low: &[String], plains: &mut [String], mended: &mut [String]) {
    let lift = |w: &str| {
        Some(match w {
            "squatting" => "squat",
            "deadlifting" => "deadlift",
            "pressing" => "press",
            "snatching" => "snatch",
            "cleaning" => "clean",
            "jerking" => "jerk",
            _ => return None,
        })
    };
    let are = |w: &String| matches!(w.as_str(), "we're" | "are" | "be" | "it's" | "you're" | "i'm");
    for i in 0..low.len() {
        if let Some(name) = lift(&low[i]).filter(|_| low[i.saturating_sub(3)..i].iter().any(are)) {
            (plains[i], mended[i]) = (name.to_owned(), name.to_owned());
        }
    }
}

/// What a token is compared as.
struct Forms {
    low: String,
    plain: String,
    mended: String,
    /// the unit of which it is a slip
    unit: Option<&'static str>,
}

impl Forms {
    fn of(token: &Token, lexicon: &Lexicon) -> Self {
        let mut low = token.text.to_lowercase().replace('’', "'");
        if token.kind != Kind::Word {
            let plain = if token.is("&") { "and".to_owned() } else { low.replace('×', "x") };
            return Self { low: low.replace('×', "x"), mended: plain.clone(), plain, unit: None };
        }
        // `E M O M`
        low.retain(|c| c != ' ' && c != '.');
        let low = slips::short(&low).map_or(low, str::to_owned);
        let plain = plain(&low);
        let mended = lexicon.mend(&plain);
        let own = slips::mend(&low).filter(|_| !lexicon.holds(&plain));
        // `altenating` is a slip of a word that stands in names too; `ronds` is two slips away from `rod`
        let far = |w: &str| strsim::osa_distance(w, &low);
        let same = |meant: &str| mended.trim_end_matches('s') == meant.trim_end_matches('s');
        let meant = own.filter(|w| mended == plain || same(w) || far(w) < far(&mended));
        let low = meant.map_or(low.clone(), str::to_owned);
        Self { low, plain, mended, unit: meant.filter(|w| slips::is_unit(w)) }
    }
}

/// Every element of the text, in order. Every token belongs to exactly one.
#[must_use]
pub fn tag(doc: &Doc, library: &Library, lexicon: &Lexicon) -> Vec<Element> {
    let mut out: Vec<Element> = Vec::with_capacity(doc.tokens.len());
    // several marks ask whether a name follows them: it is looked up once for each token
    let seen: Vec<OnceCell<Option<(Name, usize)>>> = vec![OnceCell::new(); doc.tokens.len()];
    let names = |at: usize| seen.get(at).and_then(|cell| *cell.get_or_init(|| name(doc, at, library, lexicon)));
    let mut i = 0;
    let mut line_start = true;
    let mut last_number = 0.0;
    let mut last_label: Option<String> = None;
    let mut odd_on = 0;
    let dashed = doc
        .tokens
        .windows(3)
        .filter(|w| w[0].kind == Kind::Newline && w[1].is("-") && w[2].kind == Kind::Number && !w[2].spaced)
        .count()
        > 1;
    let by_the_hour = stretch::told(doc);
    let mut arrows: HashMap<usize, usize> = HashMap::new();
    doc.tokens.iter().filter(|t| t.kind == Kind::Arrow).for_each(|t| *arrows.entry(t.line).or_default() += 1);
    let mut loose = [(usize::MAX, 0); 3];
    while i < doc.tokens.len() {
        if let Some(found) = table::cell(doc, i, out.last()) {
            line_start = line_start && matches!(found.what, What::Bullet(_) | What::Dash);
            i = found.to;
            out.push(found);
            continue;
        }
        if let Some((what, used)) = by_the_hour
            .and_then(|told| stretch::heading(doc, i, told))
            .filter(|(_, n)| (line_start || stretch::opens(doc, i)) && !clocks::runs(doc, i, i + n))
        {
            out.push(Element { what, from: i, to: i + used });
            i += used;
            line_start = false;
            continue;
        }
        if let Some(&(from, to)) = loose.iter().find(|(from, _)| *from == i) {
            out.push(Element { what: What::Dash, from, to });
            i = to;
            continue;
        }
        if doc.tokens[i].kind == Kind::Arrow && !line_start && arrows.get(&doc.tokens[i].line).is_some_and(|n| *n > 1) {
            // `5 min walk → 3 rounds of ... → stretch`
            out.push(Element { what: What::Then, from: i, to: i + 1 });
            i += 1;
            continue;
        }
        if doc.tokens[i].kind == Kind::Other
            && !line_start
            && let Some(then) = out.last_mut().filter(|e| e.what == What::Then)
        {
            // `then 🏋 5 x 5 squats`
            then.to = i + 1;
            i += 1;
            continue;
        }
        if doc.tokens[i].is("(")
            && let Some(spans) = one_rep(doc, i, &names)
        {
            loose = spans;
            continue;
        }
        if line_start && dashed && doc.tokens[i].is("-") {
            out.push(Element { what: What::Bullet(None), from: i, to: i + 1 });
            i += 1;
            continue;
        }
        let heads =
            || matches!(out.last().map(|e| &e.what), Some(What::Colon)) && out.iter().rev().nth(1).is_some_and(heads_a_part);
        if let Some(end) = quoted(doc, i).filter(|_| line_start || heads()) {
            out.push(Element { what: What::Word, from: i, to: end });
            i = end;
            line_start = false;
            continue;
        }
        if let Some(end) = named_by_number(doc, i, &names).filter(|_| line_start) {
            out.push(Element { what: What::Word, from: i, to: end });
            i = end;
            line_start = false;
            continue;
        }
        if doc.tokens[i].kind == Kind::Number
            && matches!(doc.low(i + 1), "cm" | "mm" | "inch" | "inches")
            && names(i + 1).is_none()
        {
            // how high a box is: words about the line
            out.push(Element { what: What::Word, from: i, to: i + 2 });
            i += 2;
            line_start = false;
            continue;
        }
        if doc.low(i) == "w" && doc.low(i + 1) == "/" && !doc.tokens[i + 1].spaced && !matches!(doc.low(i + 2), "u" | "o") {
            // `w/ 15 kg`: only says that something belongs to the line
            out.push(Element { what: What::Dash, from: i, to: i + 2 });
            i += 2;
            line_start = false;
            continue;
        }
        let (what, used) = if line_start { marks::line_start(doc, i, last_number, library, lexicon) } else { None }
            .or_else(|| if opens(out.last()) || odd_on == doc.tokens[i].line { marks::minute(doc, i) } else { None })
            .or_else(|| {
                let stop = matches!(out.last().map(|e| &e.what), Some(What::Stop | What::Newline | What::Colon));
                marks::label_inside(doc, i, last_label.as_deref(), stop)
            })
            .or_else(|| number_inside(doc, i, last_number))
            .or_else(|| one(doc, i, &names, out.last()))
            .unwrap_or((What::Word, 1));
        match &what {
            What::Bullet(Some(n)) => last_number = *n,
            What::Label(l) => last_label = Some(l.clone()),
            // `odd 12 swings even 40 s plank`: the other minutes follow without a sign
            What::Minute(_) | What::Minutes(_) => odd_on = doc.tokens[i].line,
            _ => {}
        }
        // a label or bullet leaves the line at its beginning, so that `- A1) ...` and `2. min 1` are read
        line_start = matches!(what, What::Newline) || line_start && matches!(what, What::Bullet(_) | What::Label(_) | What::Then);
        out.push(Element { what, from: i, to: i + used.max(1) });
        i += used.max(1);
    }
    let mut out = weight::by_reps(doc, out);
    share_units(out.iter_mut());
    share_units(out.iter_mut().rev());
    out
}

/// `5 @ 60, 5 @ 70, 3 @ 80 kg`: one unit for the whole list, wherever it stands.
fn share_units<'e>(elements: impl Iterator<Item = &'e mut Element>) {
    let mut unit: Option<Load> = None;
    let mut newlines = 0;
    for e in elements {
        newlines = if matches!(e.what, What::Newline) { newlines + 1 } else { 0 };
        match &e.what {
            What::Load(load @ (Load::Kg { .. } | Load::Lb { .. } | Load::Percent { .. }), None) => unit = Some(load.clone()),
            What::BareLoad(n) => {
                if let Some(load) = &unit {
                    e.what = What::Load(load.with(*n), None);
                }
            }
            What::Newline if newlines < 2 => {}
            What::Comma | What::Dose(_) | What::SetsOf(..) | What::Then | What::Bullet(_) | What::Slash | What::Dash => {}
            _ => unit = None,
        }
    }
}

/// `"4 corners"` at the beginning of a line: a name, whatever stands in it. The token behind its end.
fn quoted(doc: &Doc, i: usize) -> Option<usize> {
    let mark = |at: usize| matches!(doc.low(at), "\"" | "“" | "”");
    let inside = (1..8).take_while(|k| doc.tokens.get(i + k).is_some_and(|t| t.kind != Kind::Newline) && !mark(i + k)).count();
    (mark(i) && inside > 0 && mark(i + inside + 1)).then_some(i + inside + 2)
}

/// `Conditioning: "The stairs"`: a name in quotes behind such a word is the name of the part.
fn heads_a_part(e: &Element) -> bool {
    matches!(e.what, What::Heading(_) | What::Label(_))
}

/// `FOUR CORNERS`, `Three bells` alone on the first line or under an empty one: a name, no count. The token behind its end.
fn named_by_number(doc: &Doc, i: usize, names: NameOf) -> Option<usize> {
    let word = |at: usize| doc.tokens.get(at).is_some_and(|t| t.kind == Kind::Word);
    let ends = |at: usize| doc.tokens.get(at).is_none_or(|t| t.kind == Kind::Newline);
    let fresh = i == 0 || ends(i - 1) && (i == 1 || ends(i - 2));
    let counted = word(i) && super::words::number_word(doc.tokens[i].text).is_some_and(|n| n > 1.0);
    let end = (i + 1..i + 4).find(|at| !word(*at))?;
    let strange = |at: usize| {
        !(names(at).is_some() || is_manner(doc.low(at)) || is_talk(doc.low(at)))
            && super::quantity::quantity(&doc.tokens[i..=at]).is_none_or(|q| q.tokens < 2)
            && !matches!(doc.low(at), "stations" | "exercises" | "movements" | "moves" | "times" | "turns")
    };
    (fresh && counted && end > i + 1 && ends(end) && (i + 1..end).all(strange)).then_some(end)
}

/// A station can begin behind this element: `EMOM 12: odd ..., even ...`
fn opens(before: Option<&Element>) -> bool {
    before.is_some_and(|b| {
        matches!(b.what, What::Comma | What::Stop | What::Colon | What::Then | What::Every { .. } | What::Dash | What::Open)
            || b.what == What::Side(Side::Alternating)
    })
}

fn one(doc: &Doc, i: usize, names: NameOf, before: Option<&Element>) -> Option<(What, usize)> {
    if let Some(n) = greets(doc, i) {
        return Some((What::Word, n));
    }
    let named = names(i);
    // a long name wins over everything: `rest pose`, `90/90 hip switch`, `single-arm row`
    if let Some((name, used)) = named.filter(|(n, used)| *used > 1 && matches!(n, Name::Known(_))) {
        return Some((What::Movement(name), used));
    }
    let dosed = before.is_some_and(|b| matches!(b.what, What::Dose(_)));
    if dosed && doc.low(i) == "x" && names(i + 1).is_some() && doc.tokens[i].kind == Kind::Mark {
        // `8 × cat-cow`
        return Some((What::Dash, 1));
    }
    if doc.low(i) == "after"
        && let Some(n) = after_lines(doc, i, names)
    {
        return Some((What::Then, n));
    }
    if matches!(doc.low(i), "amrap" | "emom" | "metcon") && matches!(doc.low(i + 1), "score" | "scored") {
        // `amrap score = rounds + reps`: which part's score
        return Some((What::Score, 2));
    }
    if let Some(n) = when_it_comes(doc, i, names) {
        return Some((What::Word, n));
    }
    if let Some(n) = doc.says_any(i, &["= 1 set", "= one set", "= 1 round", "= one round", "is one set", "is one round"]) {
        // `5 presses, 5 push presses = 1 set`
        return Some((What::Word, n));
    }
    if let Some(n) = doc.says_any(i, IN_ONE_GO).filter(|n| doc.low(i + n) != "of") {
        // `max pull-ups, one unbroken set`: no set of something
        return Some((What::Word, n));
    }
    if jerks(doc, i, before) {
        return Some((What::Plus, 1));
    }
    clocks::read(doc, i)
        .or_else(|| marks::more_each(doc, i))
        .or_else(|| doses::read(doc, i, before, &|at| names(at).is_some()))
        .or_else(|| marks::read(doc, i))
        .or_else(|| if doc.tokens[i].is("+") { marks::step(doc, i) } else { None })
        .or_else(|| named.map(|(name, used)| (What::Movement(name), used)))
        .or_else(|| marks::punctuation(doc, i))
}

/// `Good morning ladies and gents!` as the first words of all, with no number on their line: nobody bends with a bar.
fn greets(doc: &Doc, i: usize) -> Option<usize> {
    let n = doc.says(i, "good morning")?;
    let first = doc.tokens[..i].iter().all(|t| matches!(t.kind, Kind::Newline | Kind::Other));
    let line = doc.tokens[i].line;
    let counted = doc.tokens[i..].iter().take_while(|t| t.line == line).any(|t| super::quantity::number(t).is_some());
    (first && !counted).then_some(n)
}

const IN_ONE_GO: &[&str] = &[
    "one unbroken set",
    "a single unbroken set",
    "unbroken set",
    "one go",
    "one try",
    "one attempt",
    "one at a time",
    "one thing at a time",
    "one movement at a time",
    "one exercise at a time",
    "one by one",
];

/// `After the squats, three rounds ...`: what follows comes then.
fn after_lines(doc: &Doc, i: usize, names: NameOf) -> Option<usize> {
    let the = usize::from(matches!(doc.low(i + 1), "the" | "those" | "these" | "your"));
    let (_, used) = names(i + 1 + the)?;
    let end = i + 1 + the + used;
    (doc.low(end) == ",").then_some(end - i)
}

/// `Quick core thing after your run: ...`: when it is done, and nothing to do.
fn when_it_comes(doc: &Doc, i: usize, names: NameOf) -> Option<usize> {
    let n = doc.says_any(i, &["after your", "after the", "before your", "before the"])?;
    let (_, used) = names(i + n)?;
    let end = i + n + used;
    let ends = doc.tokens.get(end).is_none_or(|t| t.kind == Kind::Newline || matches!(t.text, ":" | "." | "!" | ")" | "-" | "–"));
    let opens = i == 0 || doc.tokens[i - 1].kind == Kind::Newline;
    // `after the squats: 5x5` heads what is done
    let dosed = doc.tokens.get(end + 1).is_some_and(|t| t.kind == Kind::Number) && matches!(doc.low(end + 2), "x" | "×" | "*");
    (ends && !dosed && (!opens || doc.low(end) == ":")).then_some(end - i)
}

/// `6 rounds: 1) swings 2) step-ups`: the numbers of a list in one line.
fn number_inside(doc: &Doc, i: usize, last: f64) -> Option<(What, usize)> {
    let closed = |t: usize| doc.tokens.get(t + 1).is_some_and(|c| c.is(")") && !c.spaced);
    let number = |t: usize| doc.tokens.get(t).and_then(Token::number).filter(|n| n.fract() == 0.0 && *n < 20.0 && closed(t));
    let n = number(i).filter(|_| doc.tokens[i].spaced)?;
    let line = doc.tokens[i].line;
    let open = (0..i).rev().take_while(|&t| doc.tokens[t].line == line).find(|&t| matches!(doc.low(t), "(" | ")"));
    let next = || (i + 2..(i + 30).min(doc.tokens.len())).any(|t| doc.tokens[t].line == line && number(t) == Some(n + 1.0));
    let listed = (n - 1.0).abs() < 0.01 && next() || n > 1.0 && (n - last - 1.0).abs() < 0.01;
    (listed && open.is_none_or(|t| doc.tokens[t].is(")"))).then_some((What::Bullet(Some(n)), 2))
}

/// `(Power clean + front squat = 1 rep) 6 sets x 1`: brackets that only hold a complex together. The tokens of the opening
/// one, of what it counts as, and of the closing one.
fn one_rep(doc: &Doc, i: usize, names: NameOf) -> Option<[(usize, usize); 3]> {
    let close = (i + 1..(i + 24).min(doc.tokens.len()))
        .take_while(|t| doc.tokens[*t].kind != Kind::Newline)
        .find(|t| doc.low(*t) == ")")?;
    let counts = (i + 1..close).find(|t| {
        doc.says_any(*t, &["= 1 rep", "= one rep", "is 1 rep", "is one rep", "= 1", "as one rep"]).is_some_and(|n| t + n == close)
    })?;
    let plus = (i + 1..counts).any(|t| doc.low(t) == "+");
    let dosed = doc.tokens.get(close + 1).is_some_and(|t| t.kind == Kind::Number || t.is(":"));
    (plus && dosed && names(i + 1).is_some()).then_some([(i, i + 1), (counts, close), (close, close + 1)])
}

/// `hang clean & jerk`, `power clean and jerk`: one repetition of two.
fn jerks(doc: &Doc, i: usize, before: Option<&Element>) -> bool {
    let cleans = before.is_some_and(|b| matches!(b.what, What::Movement(_)) && doc.plain[b.to - 1] == "clean");
    cleans && doc.plain[i] == "and" && doc.plain.get(i + 1).is_some_and(|w| w == "jerk")
}

/// The name that begins at a token.
type NameOf<'a> = &'a dyn Fn(usize) -> Option<(Name, usize)>;
