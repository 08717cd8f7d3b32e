//! A session as one member reads it: their own lines, what was changed and why, what they logged.

use super::logged::{Done, given_then};
use super::words;
use crate::store::ids::{ResultId, SessionId, VersionId};
use crate::store::people::{Person, Units};
use crate::store::results::ResultRow;
use crate::store::weeks::Published;
use crate::store::wishes::Wishes;
use crate::training::calendar;
use crate::training::captions::Spot;
use crate::training::member::Profile;
use crate::training::movement::{Library, Movement};
use crate::training::pace;
use crate::training::score;
use crate::training::session::{Line, Part, ScoreKind};
use crate::training::setup::{Setup, setup};
use crate::training::tailor::{Action, House, Tailor, Tailored, TailoredLine, TailoredPart, Wish, Wished};
use crate::training::wording;
use crate::web::member::clock::is_timed;
use crate::web::member::log::{LogView, rules};
use crate::web::questions::Asked;
use crate::web::{rod, rods};
use std::collections::{HashMap, HashSet};

/// A session on the page.
pub struct SessionView {
    /// row
    pub id: i64,
    /// the version on the page
    pub version: i64,
    /// as typed
    pub title: String,
    /// what it is for
    pub aim: Option<String>,
    /// how long it takes: `40 to 48 min`
    pub minutes: String,
    /// whose week it is
    pub group: String,
    /// the rod that stands at the edge, SVG
    pub rod: String,
    /// what an edit changed; none for a first version
    pub changed: Option<Edit>,
    /// where the talk-through is
    pub video: Option<Film>,
    /// what to fetch and how much room to clear
    pub setup: Setup,
    /// words to the whole session
    pub notes: Vec<String>,
    /// in order
    pub parts: Vec<PartView>,
    /// what was logged for parts that an edit took out
    pub gone: Vec<String>,
}

impl SessionView {
    /// Parts and lines that have a chapter say where it is.
    pub(in crate::web::member) fn point_at(&mut self, spots: &[(Spot, String)]) {
        for (spot, at) in spots {
            let Some(part) = self.parts.get_mut(spot.part) else { continue };
            match spot.line {
                None => part.show = Some(at.clone()),
                Some(line) => part.lines.iter_mut().filter(|l| l.number == line).for_each(|l| l.show = Some(at.clone())),
            }
        }
    }
}

/// An edit that was published.
pub struct Edit {
    /// `Changed today 14:05: version 2.`
    pub when: String,
    /// in the coach's words; empty where they wrote none
    pub note: String,
    /// else read from the two versions, a line each
    pub lines: Vec<String>,
}

/// The talk-through.
pub enum Film {
    /// an address elsewhere
    Link(String),
    /// our own page
    Page(String),
}

/// A part on the page.
pub struct PartView {
    /// unique on the page
    pub id: String,
    /// from 0
    pub number: usize,
    /// `A`, `B1`
    pub label: Option<String>,
    /// as typed
    pub name: String,
    /// `4 sets, rest 90 s · 14 min`
    pub how: String,
    /// stands open
    pub open: bool,
    /// where the talk-through shows it
    pub show: Option<String>,
    /// nothing of it is given
    pub withheld: bool,
    /// there is something to time or to count
    pub timed: bool,
    /// some of it waits for the coach
    pub waits: bool,
    /// in order
    pub lines: Vec<LineView>,
    /// the coach's other versions: name, what differs
    pub options: Vec<(String, String)>,
    /// how the score is taken, tie-break, notes
    pub notes: Vec<String>,
    /// what is scored, in words
    pub score: Option<String>,
    /// what was logged
    pub done: Option<Done>,
    /// the form; none where the part was logged and may be done once, or is of a day to come
    pub log: Option<LogView>,
    /// of a day to come
    pub ahead: bool,
}

/// A written line and what this member does.
pub struct LineView {
    /// from 0
    pub number: usize,
    /// what is done; empty where nothing is given
    pub given: Vec<Given>,
    /// nothing is given: why, in words
    pub refer: Option<String>,
    /// it waits for the coach: the page says why once
    pub waits: bool,
    /// the line before says why in the same words
    pub again: bool,
    /// what was changed
    pub changed: Option<Changed>,
    /// plates on one side
    pub plates: Option<String>,
    /// what else was typed
    pub note: Option<String>,
    /// what they said at it
    pub wish: Option<Wish>,
    /// the written movement
    pub written: String,
    /// questions about this line that this member may read
    pub asked: Vec<Asked>,
    /// where the talk-through shows it
    pub show: Option<String>,
}

/// One movement with its dose.
pub struct Given {
    /// `14`, `20 s`
    pub dose: String,
    /// `per side`
    pub side: Option<&'static str>,
    /// name
    pub movement: String,
    /// `2 × 12 kg`
    pub load: Option<String>,
    /// tempo, pauses
    pub rest: Vec<String>,
    /// from the library
    pub know: Option<Know>,
}

/// What the library knows of a movement.
pub struct Know {
    /// its page
    pub page: String,
    /// set-up, execution, finish
    pub cues: Vec<String>,
    /// common faults
    pub faults: Vec<String>,
    /// where it can hurt
    pub caution: Option<String>,
}

/// A change for this member.
pub struct Changed {
    /// another movement than written
    pub swapped: bool,
    /// one sentence
    pub why: String,
    /// the line as written
    pub written: String,
}

/// Everything that a session is read with.
pub struct Reader<'a> {
    /// who reads
    pub person: &'a Person,
    /// as tailoring sees them
    pub profile: &'a Profile,
    /// movements
    pub library: &'a Library,
    /// now
    pub now: time::OffsetDateTime,
    /// what they said at lines
    pub wishes: &'a Wishes,
    /// what the coach decided
    pub house: &'a House,
    /// what became of what they logged
    pub since: Since,
}

/// What became of what a member logged.
#[derive(Debug, Default)]
pub struct Since {
    /// parts that may be logged again, because their board lets one try more than once
    pub again: HashSet<(SessionId, usize)>,
    /// results that the coach corrected last: why, and who and when
    pub corrected: HashMap<ResultId, (String, String)>,
    /// what was changed last in sessions whose coach did not say it
    pub edits: HashMap<SessionId, Vec<String>>,
    /// versions other than the one on the page, that something was done on
    pub done_on: HashMap<VersionId, Published>,
}

impl Reader<'_> {
    /// A session with what was logged for it, oldest first. `typed` is a form that came back.
    pub fn session(&self, p: &Published, film: Option<Film>, results: &[ResultRow], typed: Option<LogView>) -> SessionView {
        let tailored = self.tailored(p);
        let mut typed = typed;
        let mut parts = Vec::new();
        let mut rod = rods::parts(&p.session, self.library);
        for (i, (part, own)) in p.session.parts.iter().zip(&tailored.parts).enumerate() {
            let result = results.iter().rfind(|r| r.session_id == p.session_id && r.stands == p.stands(i));
            if let Some(piece) = rod.get_mut(i) {
                piece.done = result.is_some();
            }
            let back = typed.take_if(|t| t.part == i);
            parts.push(self.part(p, (i, part), own, result, back));
        }
        let time = pace::session(&p.session, self.library);
        SessionView {
            id: p.session_id.0,
            version: p.version_id.0,
            title: if p.session.title.is_empty() { calendar::long(p.day) } else { p.session.title.clone() },
            aim: p.session.aim.as_deref().map(wording::aim),
            minutes: span(time.low_s, time.high_s),
            group: p.group.clone(),
            rod: rod::edge_rod(&format!("rod{}", p.session_id), &rod),
            changed: (p.number > 1).then(|| Edit {
                when: self.version(p),
                note: p.change_note.clone(),
                lines: self.since.edits.get(&p.session_id).cloned().unwrap_or_default(),
            }),
            video: film,
            setup: self.setup(&tailored),
            notes: p.session.notes.clone(),
            parts,
            gone: self.gone(p, results),
        }
    }

    /// What they logged for parts that are not in the session any more.
    fn gone(&self, p: &Published, results: &[ResultRow]) -> Vec<String> {
        let out = results.iter().filter(|r| r.session_id == p.session_id && p.part_under(r.stands).is_none());
        let said = |r: &ResultRow| {
            let done_on = self.since.done_on.get(&r.version_id).unwrap_or(p);
            let name = done_on.session.parts.get(r.part).map(wording::part).unwrap_or_default();
            format!("{name}: {}", Done::of(r, done_on, true, self).words)
        };
        out.map(said).collect()
    }

    /// The session as this member does it, with what they said at its lines.
    #[must_use]
    pub fn tailored(&self, p: &Published) -> Tailored {
        let house = self.house.in_session(Some(p.session_id.0));
        Tailor::new(self.library).in_house(house).tailor_wished(&p.session, self.profile, &self.said(p))
    }

    /// What they said at lines of a session, by the parts of this version of it.
    fn said(&self, p: &Published) -> Vec<Wished> {
        let all = self.wishes.get(&p.session_id).into_iter().flatten();
        all.filter_map(|w| Some(Wished { part: p.part_under(w.part)?, ..w.clone() })).collect()
    }

    fn setup(&self, tailored: &Tailored) -> Setup {
        let lines = tailored.parts.iter().flat_map(|p| &p.lines).flat_map(|l| &l.given).collect::<Vec<_>>();
        setup(&lines, self.profile, self.library, |line| words::plain_load(line, self.person.load_column))
    }

    /// What they said at a line, while the line is still the one it was said of.
    fn wish(&self, p: &Published, part: usize, line: usize) -> Option<Wish> {
        let written = &p.session.parts[part].lines[line].movement;
        self.said(p).iter().find(|w| w.part == part && w.line == line && w.movement == *written).map(|w| w.wish)
    }

    fn version(&self, p: &Published) -> String {
        let local = self.person.zone.local(p.published_at);
        let when = format!("{} {:02}:{:02}", calendar::short(local.date()), local.hour(), local.minute());
        format!("Changed on {when}: version {}.", p.number)
    }

    fn part(
        &self,
        p: &Published,
        (i, part): (usize, &Part),
        own: &TailoredPart,
        result: Option<&ResultRow>,
        typed: Option<LogView>,
    ) -> PartView {
        let minutes = (pace::part(part, self.library).typical_s / 60.0).round().max(1.0);
        let done = result.map(|r| {
            let done_on = self.since.done_on.get(&r.version_id).unwrap_or(p);
            Done { then: given_then(r, own, self), ..Done::of(r, done_on, r.version_id != p.version_id, self) }
        });
        let back = typed.is_some();
        // a day ahead is read, not logged
        let ahead = p.day > self.person.zone.day(self.now);
        let again = done.is_none() || self.since.again.contains(&(p.session_id, p.stands(i)));
        // where nothing is given, and no other version of the coach's may be done, there is nothing to log
        let withheld = !own.lines.is_empty() && own.lines.iter().all(|l| l.action == Action::Refer);
        let waits = own.lines.iter().any(|l| l.waits);
        let loggable = again && !ahead && !(withheld && (waits || part.options.is_empty()));
        let rules = rules(part, self);
        let prompt = score::prompt(part, &rules, self.library);
        let log = typed.or_else(|| loggable.then(|| LogView::fresh(self, p, i, own, prompt.clone())));
        let scored = part.score != ScoreKind::None;
        let mut notes: Vec<String> = part.notes.clone();
        let told = |rule: &String| score::says_no_more(rule, part, &rules);
        notes.extend(part.score_rule.clone().filter(|rule| scored && !told(rule)).map(|r| titled("Score", r)));
        notes.extend(part.tie_break.clone().map(|t| titled("Tie-break", t)));
        let (label, name) = wording::title(part);
        let format = wording::format(part);
        let mut lines: Vec<LineView> =
            own.lines.iter().enumerate().map(|(n, l)| LineView { wish: self.wish(p, i, n), ..self.line(n, l) }).collect();
        for n in 1..lines.len() {
            lines[n].again = lines[n].refer.is_some() && lines[n].refer == lines[n - 1].refer;
        }
        PartView {
            id: format!("s{}p{i}", p.session_id),
            number: i,
            label,
            name,
            // where the clock decides, the format says the minutes already
            how: match (format.is_empty(), part.duration_s.is_some()) {
                (true, _) => format!("{minutes} min"),
                (false, true) => format,
                (false, false) => format!("{format} · {minutes} min"),
            },
            open: back,
            show: None,
            withheld,
            timed: !withheld && is_timed(self.person, part, own),
            waits,
            lines,
            options: part.options.iter().map(|o| (o.name.clone(), wording::option(o))).collect(),
            notes,
            score: prompt.map(|prompt| prompt.what),
            done,
            log,
            ahead,
        }
    }

    fn line(&self, number: usize, line: &TailoredLine) -> LineView {
        let swapped = matches!(line.action, Action::Swap | Action::SwapAndTellCoach);
        let refer = (line.action == Action::Refer).then(|| line.why.clone());
        let changed = (refer.is_some() || !line.why.is_empty()).then(|| Changed {
            swapped,
            why: line.why.clone(),
            written: wording::whole_line(&line.written),
        });
        LineView {
            number,
            given: line.given.iter().map(|g| self.given(g)).collect(),
            refer,
            waits: line.waits,
            again: false,
            changed,
            plates: words::plates(line),
            // words to a movement that is left out are about nothing
            note: line.note().filter(|_| !line.given.is_empty()).map(str::to_owned),
            wish: None,
            written: wording::movement(&line.written),
            asked: Vec::new(),
            show: None,
        }
    }

    fn given(&self, line: &Line) -> Given {
        let (column, units): (u8, Units) = (self.person.load_column, self.person.units);
        Given {
            dose: words::dose(line, column),
            side: line.side.map(crate::training::dose::Side::words),
            movement: wording::movement(line),
            load: words::load(line, column, units),
            rest: words::rest(line),
            know: self.library.find(&line.movement).map(know),
        }
    }
}

fn know(m: &Movement) -> Know {
    Know {
        page: crate::web::movements::address(&m.name),
        cues: m.cues.clone(),
        faults: m.faults.clone(),
        caution: m.caution.clone(),
    }
}

/// `40 to 48 min`.
fn span(low_s: f64, high_s: f64) -> String {
    let (low, high) = ((low_s / 60.0).round().max(1.0), (high_s / 60.0).round().max(1.0));
    if low == high { format!("{low} min") } else { format!("{low} to {high} min") }
}

/// The coach's words under a name, which they often begin with themselves.
fn titled(name: &str, words: String) -> String {
    if words.to_lowercase().starts_with(&name.to_lowercase()) { words } else { format!("{name}: {words}") }
}
