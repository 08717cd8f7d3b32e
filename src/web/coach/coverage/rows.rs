//! The lines of the coverage page: who does what, what the coach chose, and the form to choose.

use super::{CONCERNED, Members, Names, VARIANTS, verb};
use crate::store::ids::PersonId;
use crate::training::movement::{Implement, Library};
use crate::training::session::{Line, Session};
use crate::training::tailor::{Action, Change, House, LineCoverage, Tailor, Variant, Whom};
use crate::training::wording;
use crate::web::coach::count;
use crate::web::coach::pin::{self, PinForm, Refused};

pub(super) struct PartRow {
    pub(super) name: String,
    pub(super) lines: Vec<LineRow>,
}

pub(super) struct LineRow {
    /// `p0l1`
    pub(super) id: String,
    pub(super) written: String,
    /// how many do it as written, in words
    pub(super) served: String,
    pub(super) changes: Vec<ChangeRow>,
    /// nothing near it is sound for them
    pub(super) without: Option<Names>,
    /// it waits for the coach, because of what they wrote
    pub(super) waiting: Option<Names>,
    /// what the coach chose here
    pub(super) chosen: Vec<ChosenRow>,
    /// none where nothing can be chosen: the library does not have the movement, or it is several in one
    pub(super) choose: Option<ChooseView>,
}

impl LineRow {
    /// Everybody does it as written, and nothing was chosen: one row is enough.
    pub(super) fn quiet(&self) -> bool {
        let refused = self.choose.as_ref().is_some_and(|c| c.error.is_some());
        self.changes.is_empty() && self.without.is_none() && self.waiting.is_none() && self.chosen.is_empty() && !refused
    }
}

pub(super) struct ChangeRow {
    pub(super) members: String,
    /// what they do
    pub(super) what: String,
    pub(super) variants: Vec<VariantRow>,
}

/// One line as some of them get it.
pub(super) struct VariantRow {
    /// how many, where not everybody gets this one
    pub(super) members: Option<String>,
    pub(super) given: String,
    pub(super) why: String,
    pub(super) who: Names,
}

/// A choice that stands.
pub(super) struct ChosenRow {
    pub(super) id: i64,
    pub(super) becomes: String,
    pub(super) whom: String,
    pub(super) always: bool,
    /// how many get it, and who does not and why
    pub(super) outcome: String,
}

/// The form in which a line is chosen.
pub(super) struct ChooseView {
    pub(super) part: usize,
    pub(super) line: usize,
    pub(super) movement: String,
    /// key, words, chosen
    pub(super) whom: Vec<(String, String, bool)>,
    pub(super) becomes: String,
    pub(super) always: bool,
    /// why it was not kept
    pub(super) error: Option<String>,
}

fn variant(v: &Variant, alone: bool, members: &Members) -> VariantRow {
    VariantRow {
        members: (!alone).then(|| people(v.members)),
        given: v.line.as_ref().map(wording::whole_line).unwrap_or_default(),
        why: v.why.clone(),
        who: members.names(&v.who),
    }
}

fn change(c: &Change, members: &Members) -> ChangeRow {
    let what = match (c.action, c.variants.as_slice()) {
        (Action::Swap | Action::SwapAndTellCoach, _) => format!("{} instead", c.movement),
        (_, [one]) => format!("{}, fitted", one.line.as_ref().map(wording::whole_line).unwrap_or_default()),
        (_, many) => format!("{}, fitted in {} ways", c.movement, many.len()),
    };
    let alone = c.variants.len() == 1;
    ChangeRow {
        members: people(c.members),
        what,
        variants: c.variants.iter().take(VARIANTS).map(|v| variant(v, alone, members)).collect(),
    }
}

/// `1 member`, `3 members`.
pub(super) fn people(n: usize) -> String {
    count(i64::try_from(n).unwrap_or(i64::MAX), "member", "members")
}

/// What a page needs for every line.
pub(super) struct Lines<'a> {
    pub(super) session: &'a Session,
    pub(super) members: &'a Members,
    pub(super) library: &'a Library,
    pub(super) house: &'a House,
    pub(super) tailor: &'a Tailor<'a>,
    pub(super) refused: Option<&'a Refused>,
}

impl Lines<'_> {
    pub(super) fn row(&self, seen: &LineCoverage) -> LineRow {
        let (written, members) = (&self.session.parts[seen.part].lines[seen.line], self.members);
        let without: Vec<usize> = seen.without.iter().copied().filter(|m| !seen.waiting.contains(m)).collect();
        let named = |who: &[usize]| (!who.is_empty()).then(|| members.names(who));
        LineRow {
            id: format!("p{}l{}", seen.part, seen.line),
            written: wording::whole_line(written),
            served: if seen.as_written == members.people.len() {
                "Everybody does it as written.".to_owned()
            } else {
                format!("{} of {} as written.", seen.as_written, members.people.len())
            },
            changes: seen.changes.iter().map(|c| change(c, members)).collect(),
            without: named(&without),
            waiting: named(&seen.waiting),
            chosen: self.chosen(seen, written),
            choose: (written.known && written.complex.is_empty()).then(|| self.choose(seen, written)),
        }
    }

    fn chosen(&self, seen: &LineCoverage, written: &Line) -> Vec<ChosenRow> {
        let intent = self.session.parts[seen.part].intent;
        let here = self.house.pins.iter().filter(|p| p.movement == written.movement && p.intent == intent);
        here.map(|p| {
            let came = self.tailor.chosen(p.id, self.session, (seen.part, seen.line), &self.members.homes);
            let mut outcome = format!("{} it.", verb(came.given.len(), "gets", "get"));
            for (why, who) in &came.refused {
                outcome.push_str(&format!(" Not for {}: {why}.", self.members.names(who)));
            }
            let name = |id| self.members.people.iter().find(|(person, _)| person.0 == id).map(|(_, name)| name.as_str());
            let whom = match p.whom {
                Whom::Member(id) => pin::whom_words(p.whom, name(id)),
                other => pin::whom_words(other, None),
            };
            ChosenRow { id: p.id, becomes: pin::becomes_words(&p.becomes), whom, always: p.session.is_none(), outcome }
        })
        .collect()
    }

    fn choose(&self, seen: &LineCoverage, written: &Line) -> ChooseView {
        let back = self.refused.filter(|r| (r.form.part, r.form.line) == (seen.part, seen.line));
        let typed = back.map(|r| r.form.clone()).unwrap_or_default();
        let whom = self.whom(seen, written, &typed);
        ChooseView {
            part: seen.part,
            line: seen.line,
            movement: written.movement.clone(),
            whom,
            becomes: typed.becomes,
            always: !typed.always.is_empty(),
            error: back.map(|r| r.why.clone()),
        }
    }

    /// Those for whom something may be chosen here: homes that lack what the movement needs, what it asks, and who is concerned.
    fn whom(&self, seen: &LineCoverage, written: &Line, typed: &PinForm) -> Vec<(String, String, bool)> {
        let Some(m) = self.library.find(&written.movement) else { return Vec::new() };
        let mut kinds: Vec<Whom> = Vec::new();
        let needs = m.equipment.iter().flatten().filter(|i| !matches!(i, Implement::None | Implement::Wall));
        for whom in needs.map(|i| Whom::Lacking(*i)).chain(m.demands.iter().map(|d| Whom::Avoiding(*d))) {
            if !kinds.contains(&whom) {
                kinds.push(whom);
            }
        }
        kinds.push(Whom::Lacking(Implement::None));
        let concerned = seen.without.iter().chain(seen.changes.iter().flat_map(|c| &c.who));
        let mut named: Vec<&(PersonId, String)> = concerned.filter_map(|p| self.members.people.get(*p)).take(CONCERNED).collect();
        // who was chosen in a form that came back stays chosen
        if let Some(Whom::Member(id)) = pin::read_whom(&typed.whom)
            && !named.iter().any(|n| n.0.0 == id)
        {
            named.extend(self.members.people.iter().find(|(person, _)| person.0 == id));
        }
        let of_kind = kinds.into_iter().map(|w| (pin::whom_key(w), pin::whom_words(w, None)));
        let of_name = named.into_iter().map(|(id, name)| (pin::whom_key(Whom::Member(id.0)), name.clone()));
        of_name
            .chain(of_kind)
            .map(|(key, words)| {
                let on = key == typed.whom;
                (key, words, on)
            })
            .collect()
    }
}

pub(super) fn part_name(session: &Session, part: usize) -> String {
    match wording::title(&session.parts[part]) {
        (Some(label), name) => format!("{label} {name}"),
        (None, name) => name,
    }
}
