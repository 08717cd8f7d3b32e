//! One part in the wordings that it could have.

use super::super::super::session::{Format, Part};
use super::cut::{Bit, Kind};
use super::words::{self, Shape};

/// A part with the stretches of what was typed of it.
pub(super) struct Drawn<'t> {
    pub text: &'t str,
    pub part: &'t Part,
    pub bits: Vec<Bit>,
    /// where it begins, in bytes
    pub from: usize,
}

/// How the heading is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Head {
    /// `A. The Mill`, and how it runs below
    Named,
    /// as it was typed, and how it runs below
    Typed,
    /// how it runs is all of it
    None,
    /// everything as it was typed
    AllTyped,
}

/// One wording of a part.
#[derive(Clone, Debug)]
pub(super) struct Form {
    head: Head,
    shape: Shape,
    /// for each line, whether it is worded anew
    anew: Vec<bool>,
}

impl Drawn<'_> {
    /// Every wording that is worth a try, the tidiest first.
    pub(super) fn forms(&self, anew: &[bool]) -> Vec<Form> {
        let mut all = Vec::new();
        let rested = self
            .bits
            .iter()
            .any(|b| b.kind == Kind::Said && !only_form(self.typed(b)) && self.typed(b).to_lowercase().contains("rest"));
        let whole = anew.iter().all(|a| *a);
        if !anew.is_empty() && !anew.contains(&true) {
            return self.as_typed(anew);
        }
        for head in [Head::None, Head::Named, Head::Typed] {
            for shape in words::shapes(self.part, rested) {
                // sets are told by the lines, so all of them must tell
                let told = matches!(self.part.format, Format::Sets | Format::Practice | Format::MaxEffort);
                if !whole && (told || shape.head.is_none()) {
                    continue;
                }
                if head == Head::Named && self.is_named_by_its_line() {
                    all.push(Form { head, shape: Shape { unnamed: true, ..shape.clone() }, anew: anew.to_vec() });
                }
                all.push(Form { head, shape, anew: anew.to_vec() });
            }
        }
        all.extend(self.as_typed(anew));
        all
    }

    /// `A. Back squat` over its one line, `5 x 5`.
    fn is_named_by_its_line(&self) -> bool {
        self.part.format == Format::Sets
            && matches!(&self.part.lines[..], [only] if only.movement.eq_ignore_ascii_case(&self.part.name))
    }

    /// Some line is worded anew and another on the same typed line is not, or they are rows of a table.
    fn is_torn(&self, form: &Form) -> bool {
        let line = |b: &Bit| {
            let from = self.text[..b.at.start].rfind('\n').map_or(0, |i| i + 1);
            let to = self.text[b.at.start..].find('\n').map_or(self.text.len(), |i| b.at.start + i);
            from..to
        };
        let lines: Vec<(bool, std::ops::Range<usize>)> = self
            .bits
            .iter()
            .filter_map(|b| if let Kind::Line(i) = b.kind { Some((form.anew[i], line(b))) } else { None })
            .collect();
        let cells = |r: &std::ops::Range<usize>| {
            self.text[r.clone()].trim().contains(['|', '\t']) || self.text[r.clone()].trim().contains("   ")
        };
        lines.iter().any(|(anew, at)| *anew && (cells(at) || lines.iter().any(|(other, same)| !other && same == at)))
    }

    /// Heading and all that is said as typed; the lines as `anew` says.
    pub(super) fn as_typed(&self, anew: &[bool]) -> Vec<Form> {
        let n = self.part.rounds.as_ref().filter(|_| self.part.format == Format::Sets);
        let sets = n.map(|n| Shape { sets: Some(n.to_string()), ..Shape::default() });
        let dosed = Shape { dosed: true, ..Shape::default() };
        let all = std::iter::once(dosed).chain(sets).chain([Shape::default()]);
        all.map(|shape| Form { head: Head::AllTyped, shape, anew: anew.to_vec() }).collect()
    }

    /// The part in this wording, without a line end; none where a line of it has no plain words.
    pub(super) fn worded(&self, form: &Form) -> Option<String> {
        if self.is_torn(form) {
            return None;
        }
        let mut out: Vec<String> = Vec::new();
        let label = self.part.label.clone().or_else(|| self.number()).map(|l| format!("{l}. ")).unwrap_or_default();
        let shape = form.shape.head.clone();
        match form.head {
            Head::None => out.extend(shape.map(|s| format!("{label}{s}"))),
            Head::Named => {
                let twice = self.part.label.is_some() && self.part.lines.first().is_some_and(|l| l.label == self.part.label);
                (!twice).then_some(())?;
                out.push(format!("{label}{}", self.name()?));
                out.extend(shape);
            }
            Head::Typed => {
                let head = self.bits.first().filter(|b| b.kind == Kind::Said && self.part.at.is_some())?;
                let words = without_form(self.typed(head));
                out.push(words.to_owned());
                // `3 rounds, not for time` says it already
                let said = shape.is_some() && super::keep::is_told(words);
                (!said).then_some(())?;
                out.extend(shape);
            }
            Head::AllTyped => {}
        }
        let labelled = self.part.lines.first().is_some_and(|l| l.label.is_some());
        let lead = if form.head == Head::None && form.shape.head.is_none() && !labelled { label } else { String::new() };
        self.body(form, &lead, &mut out)?;
        (!out.is_empty()).then(|| out.join("\n"))
    }

    /// The list number that was typed before it.
    fn number(&self) -> Option<String> {
        let typed = self.text[self.from..].trim_start_matches(|c: char| !c.is_alphanumeric());
        let end = typed.find(|c: char| !c.is_ascii_digit()).filter(|n| (1..3).contains(n))?;
        typed[end..].starts_with(['.', ')']).then(|| typed[..end].to_owned()).filter(|_| typed[end + 1..].starts_with(' '))
    }

    fn typed(&self, bit: &Bit) -> &str {
        self.text[bit.at.clone()].trim()
    }

    /// Its name with the quotes that the coach put around it; none where it was not typed.
    fn name(&self) -> Option<String> {
        let first = self.bits.iter().find(|b| self.text[b.at.clone()].contains(&self.part.name))?;
        let from = first.at.start + self.text[first.at.clone()].find(&self.part.name)?;
        let end = from + self.part.name.len();
        let quote = |c: char| matches!(c, '"' | '\u{201c}' | '\u{201d}' | '\u{201e}' | '\u{ab}' | '\u{bb}');
        let before = self.text[..from].chars().next_back().filter(|c| quote(*c));
        let after = self.text[end..].chars().next().filter(|c| quote(*c));
        let quoted = before.zip(after).map(|(a, b)| format!("{a}{}{b}", self.part.name));
        Some(quoted.unwrap_or_else(|| self.part.name.clone()))
    }

    /// Lines, other versions and words, each at its place.
    fn body(&self, form: &Form, lead: &str, out: &mut Vec<String>) -> Option<()> {
        let last = self.bits.iter().rposition(|b| matches!(b.kind, Kind::Line(_)));
        let mut told: Vec<usize> = Vec::new();
        let mut before: Option<&Bit> = None;
        let mut dropped = false;
        let first = self.bits.iter().position(|b| matches!(b.kind, Kind::Line(_))).unwrap_or(0);
        for (k, bit) in self.bits.iter().enumerate() {
            if self.goes(form, k)? {
                dropped = true;
                continue;
            }
            let between = before.map_or("", |b| self.text.get(b.at.end..bit.at.start).unwrap_or(""));
            let beside = before.is_some() && !between.contains('\n');
            let behind =
                k.checked_sub(1).is_some_and(|p| !self.text.get(self.bits[p].at.end..bit.at.start).unwrap_or("").contains('\n'));
            // a sentence that was cut at what is told elsewhere now
            let cut = bit.kind == Kind::Text && dropped && behind && before.is_none();
            // words that say how it runs stay in the typed line where how it runs is told above
            let twice = bit.kind == Kind::Said && k < first && form.shape.head.is_some() && form.head != Head::AllTyped;
            if cut || twice {
                return None;
            }
            let after_line = matches!(before.map(|b| b.kind), Some(Kind::Line(_)));
            match bit.kind {
                Kind::Line(i) if form.anew[i] => {
                    if !told.contains(&i) {
                        let lead = if told.is_empty() { lead } else { "" };
                        let tail = form.shape.tail.as_ref().filter(|_| last == Some(k)).map(|t| format!(", {t}"));
                        let words = words::line(&self.part.lines[i], &form.shape)?;
                        out.push(format!("{lead}{words}{}", tail.unwrap_or_default()));
                        told.push(i);
                    }
                }
                Kind::Text if beside && self.is_of_line(before, bit) => {
                    let from = before.map_or(bit.at.start, |b| b.at.end);
                    let words = self.text[from..bit.at.end].trim_end();
                    let line = out.last_mut()?;
                    if dropped {
                        *line = format!("{line}, {}", self.typed(bit));
                    } else {
                        line.push_str(words);
                    }
                }
                _ if beside && !dropped && self.stays_beside(form, before, bit) => {
                    out.last_mut()?.push_str(&format!("{between}{}", self.typed(bit)));
                }
                // a sentence that was cut at what is told elsewhere now
                Kind::Text if beside && dropped && !after_line => return None,
                _ => {
                    if between.matches('\n').count() > 1 && bit.kind == Kind::Text {
                        out.push(String::new());
                    }
                    out.push(self.typed(bit).to_owned());
                }
            }
            before = Some(bit);
            dropped = false;
        }
        Some(())
    }

    /// What this stretch says is told elsewhere in this wording; none where the wording would lose something by it.
    fn goes(&self, form: &Form, k: usize) -> Option<bool> {
        let bit = &self.bits[k];
        if bit.kind != Kind::Said {
            return Some(false);
        }
        let typed = self.typed(bit);
        let role = matches!(self.bits.get(k + 1).map(|b| b.kind), Some(Kind::Line(i)) if form.anew[i] && self.part.lines[i].role.is_some());
        if form.head == Head::AllTyped {
            return Some(role && only_form(typed));
        }
        let bare = typed.trim_end_matches(|c: char| !c.is_alphanumeric());
        let heads = form.head == Head::Typed || form.head == Head::Named && bare.ends_with(&self.part.name);
        if k == 0 && heads || only_form(typed) {
            return Some(true);
        }
        // the coach's own words among those that say how the part runs: the typed line says it better
        (k > 0 && !self.is_beside_said(k)).then_some(false)
    }

    /// Both were typed on one line and go on standing there; none of them is a line that is worded anew.
    fn stays_beside(&self, form: &Form, before: Option<&Bit>, bit: &Bit) -> bool {
        let anew = |b: &Bit| matches!(b.kind, Kind::Line(i) if form.anew[i]);
        let lines = |b: &Bit| matches!(b.kind, Kind::Line(_));
        let words = |b: &Bit| !matches!(b.kind, Kind::Line(_));
        before.is_some_and(|b| {
            !anew(b) && !anew(bit) && (form.head == Head::AllTyped || lines(b) || lines(bit) || words(b) && words(bit))
        })
    }

    /// Something else that is said stands on the typed line of bit `k`.
    fn is_beside_said(&self, k: usize) -> bool {
        let near = |a: &Bit, b: &Bit| !self.text.get(a.at.end..b.at.start).unwrap_or("").contains('\n');
        let before = k.checked_sub(1).is_some_and(|p| self.bits[p].kind == Kind::Said && near(&self.bits[p], &self.bits[k]));
        before || self.bits.get(k + 1).is_some_and(|n| n.kind == Kind::Said && near(&self.bits[k], n))
    }

    /// These words were read as belonging to the line before them.
    fn is_of_line(&self, before: Option<&Bit>, bit: &Bit) -> bool {
        let Some(Kind::Line(i)) = before.map(|b| b.kind) else { return false };
        let core = self.typed(bit).trim_matches(|c: char| !c.is_alphanumeric());
        let end = core.find(['.', ',', ';', '!', '?', '(', ')']).unwrap_or(core.len());
        self.part.lines[i].note.as_ref().is_some_and(|n| n.contains(core[..end].trim()))
    }
}

/// `Warm-up - 2 rounds` without how it runs, which stands below: `Warm-up`.
fn without_form(head: &str) -> &str {
    let mut head = head.trim_end_matches([':', ',']);
    while let Some(cut) = head.rfind([',', ':', '(', '\u{2013}', '\u{2014}']).max(head.rfind(" - ")) {
        let (before, more) = head.split_at(cut);
        if before.trim().is_empty() || !only_form(more) {
            break;
        }
        head = before.trim_end_matches([':', ',', ' ']);
    }
    head
}

/// Nothing but how the part runs is said here: no word that a tidy could lose.
fn only_form(typed: &str) -> bool {
    super::keep::is_form(typed)
}
