//! What members logged: who came on which day, what they did of each part, and what they said about it.

use super::at_home::{AtHome, at_home};
use super::dice::Dice;
use super::guess::{Outcome, Someone};
use super::notes::Notes;
use super::people::{Person, Writes};
use super::shelf::first_monday;
use super::when::{instant, minutes};
use super::{Logged, Session, Version};
use crate::training::movement::Library;
use crate::training::session::{self as training, Format, Intent, Part, ScoreKind};
use crate::training::tailor::tailor;
use time::{Date, Duration, OffsetDateTime};

/// Share of the work without a score that is logged as done.
const LOGS_UNSCORED: f64 = 0.85;
/// Share of what stands before and after the work that is logged as done.
const LOGS_AROUND: f64 = 0.7;
/// Share of sessions that are done the day after.
const A_DAY_LATE: f64 = 0.05;
/// The lighter week, from 1.
const LIGHTER_WEEK: usize = 4;

/// Everything but the people: what was written, read, and until when.
pub struct Program<'a> {
    /// every session
    pub sessions: &'a [Session],
    /// the same, as read
    pub read: &'a [training::Session],
    /// the library they were read with
    pub library: &'a Library,
    /// the day the demo ends
    pub today: Date,
    /// nothing is later than this
    pub now: OffsetDateTime,
}

/// A result, with what is needed to make a slip of it.
pub struct Draft {
    /// the result
    pub logged: Logged,
    /// what is scored
    pub score: ScoreKind,
}

/// Every result up to now, by time.
pub fn results(program: &Program, people: &[Person], dice: &Dice) -> Vec<Draft> {
    let mut notes = Notes::shipped();
    let mut all: Vec<Draft> = Vec::new();
    for (member, person) in (0..).zip(people) {
        let mut own: Vec<Draft> = Vec::new();
        let open: Vec<usize> = (0..program.sessions.len()).filter(|s| open_to(program, person, *s)).collect();
        for (session, homes) in open.iter().copied().zip(homes(program, person, &open)) {
            let dice = dice.split(&[
                member as u64,
                program.sessions[session].date.to_julian_day().unsigned_abs().into(),
                session as u64,
            ]);
            own.extend(Day { program, person, member, session, homes: &homes, dice }.log(&mut notes));
        }
        report_what_hurt(program, person, &mut own);
        all.extend(own);
    }
    all.sort_by_key(|d| (d.logged.at, d.logged.member));
    all
}

/// Published, of their group, not before they joined, not after today.
fn open_to(program: &Program, person: &Person, session: usize) -> bool {
    let s = &program.sessions[session];
    s.published && s.date <= program.today && s.date >= person.member.joined && person.member.groups.contains(&s.group)
}

/// The parts of these sessions as this member does them. One tailoring for all of them is many times quicker than one
/// for each, and gives the same.
fn homes(program: &Program, person: &Person, sessions: &[usize]) -> Vec<Vec<AtHome>> {
    let parts = |s: &usize| program.read[*s].parts.iter();
    let all = training::Session { parts: sessions.iter().flat_map(parts).cloned().collect(), ..training::Session::default() };
    let profile = &person.member.profile;
    let tailored = tailor(&all, profile, program.library).parts;
    let mut tailored = tailored.iter();
    sessions.iter().map(|s| parts(s).zip(tailored.by_ref()).map(|(part, t)| at_home(part, t, profile)).collect()).collect()
}

/// Week of the six, from 1.
fn week(program: &Program, session: usize) -> usize {
    let days = (program.sessions[session].date - first_monday(program.today)).whole_days();
    usize::try_from(days / 7).unwrap_or(0) + 1
}

/// One member's day with one session.
struct Day<'a> {
    program: &'a Program<'a>,
    person: &'a Person,
    member: usize,
    session: usize,
    /// its parts as they are done at this member's home
    homes: &'a [AtHome],
    dice: Dice,
}

impl Day<'_> {
    fn log(mut self, notes: &mut Notes) -> Vec<Draft> {
        let week = week(self.program, self.session);
        let comes = self.person.habit.comes.get(week - 1).copied().unwrap_or(0.0);
        if !self.dice.chance(comes) {
            return Vec::new();
        }
        let form = self.dice.around(1.0, 0.02);
        let hurried = self.dice.chance(if form > 1.0 { 0.16 } else { 0.05 });
        let start = self.start();
        let parts = &self.program.read[self.session].parts;
        let any_score = parts.iter().any(|p| p.score != ScoreKind::None);
        let mut clock = Duration::minutes(6);
        let mut logged = Vec::new();
        for (i, (part, home)) in parts.iter().zip(self.homes).enumerate() {
            if !self.logs(part, any_score) {
                continue;
            }
            if let Some((mut entry, took)) = self.part((i, part), home.clone(), (week, form, hurried), notes) {
                clock += took + Duration::seconds(100);
                entry.at = start + clock;
                logged.push(Draft { logged: entry, score: part.score });
            }
        }
        let now = self.program.now;
        logged.retain(|d| d.logged.at <= now);
        logged
    }

    /// What is scored is logged, the work mostly; warming up and cooling down only by those who tick everything, and
    /// where that is all there is.
    fn logs(&mut self, part: &Part, any_score: bool) -> bool {
        let ticks_all = matches!(self.person.habit.writes, Writes::Chatty | Writes::Comma);
        match part.intent {
            _ if part.score != ScoreKind::None => true,
            Intent::Prep => ticks_all || self.dice.chance(LOGS_AROUND),
            Intent::Mobility => ticks_all || !any_score || self.dice.chance(LOGS_AROUND),
            _ => !any_score || self.dice.chance(LOGS_UNSCORED),
        }
    }

    /// When they began: at their hour, give or take, on the day itself or now and then on the next.
    fn start(&mut self) -> OffsetDateTime {
        let (date, today) = (self.program.sessions[self.session].date, self.program.today);
        let late = self.dice.chance(A_DAY_LATE) && date + Duration::days(1) < today;
        let date = if late { date + Duration::days(1) } else { date };
        let zone = &self.person.member.zone;
        // Nobody's evening runs into the next day.
        let minute = self.dice.around(0.0, 12.0).round();
        #[expect(clippy::cast_possible_truncation, reason = "a few dozen minutes")]
        let minute = minutes(&self.person.habit.at) + minute as i64;
        instant(zone, date, minute.clamp(4 * 60, 22 * 60 + 25))
    }

    fn part(
        &mut self,
        of: (usize, &Part),
        home: AtHome,
        day: (usize, f64, bool),
        notes: &mut Notes,
    ) -> Option<(Logged, Duration)> {
        let ((index, part), (week, form, hurried)) = (of, day);
        let (version, home) = self.version(part, home, hurried);
        #[expect(clippy::cast_precision_loss, reason = "six weeks")]
        let weeks = (week - 1) as f64;
        let someone = Someone { profile: &self.person.member.profile, habit: &self.person.habit, weeks, form };
        let Outcome { text, seconds, load_kg } = someone.outcome(part, &home, self.program.library, &mut self.dice)?;
        let rpe = self.effort(part, version, week, form);
        let note = notes.note(self.member, self.person.habit.writes, part, (version, rpe), &mut self.dice);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "minutes of a session")]
        let minutes = (seconds / 60.0).ceil().max(1.0) as u32;
        let at = OffsetDateTime::UNIX_EPOCH;
        let (member, session) = (self.member, self.session);
        let entry = Logged { member, session, part: index, text, version, load_kg, minutes, rpe, note, hurt: None, at };
        Some((entry, Duration::seconds_f64(seconds.round())))
    }

    /// Which version they did, and how.
    fn version(&mut self, part: &Part, mut home: AtHome, hurried: bool) -> (Version, AtHome) {
        let careful = self.person.habit.pace > 1.15;
        let short_on_time = hurried || careful && self.dice.chance(0.15);
        if let Some(short) = shorter(&home.part).filter(|_| short_on_time) {
            home.part = short;
            return (Version::Shorter, home);
        }
        let offered = part.options.iter().any(|o| o.name.to_lowercase().contains("light"));
        let version = match &home {
            AtHome { swapped: true, .. } => Version::Adapted,
            AtHome { lighter: true, .. } => Version::Lighter,
            _ if offered && self.dice.chance(if careful { 0.6 } else { 0.08 }) => Version::Lighter,
            _ => Version::Full,
        };
        (version, home)
    }

    /// How hard it was, 0-10.
    fn effort(&mut self, part: &Part, version: Version, week: usize, form: f64) -> u8 {
        let plain = match (part.intent, part.score, part.format) {
            (Intent::Prep | Intent::Mobility, ..) => 2.0,
            (_, ScoreKind::Load | ScoreKind::Reps | ScoreKind::HoldTime, _) => 8.5,
            (Intent::Technique, ..) => 3.2,
            (Intent::Strength, ..) => 7.0,
            (_, ScoreKind::None, Format::Emom | Format::Intervals) => 5.5,
            (_, ScoreKind::None, _) => 4.0,
            (_, ScoreKind::RoundsReps, _) if part.duration_s.unwrap_or(0.0) > 720.0 => 7.3,
            _ => 8.3,
        };
        let lighter = if week == LIGHTER_WEEK { 1.6 } else { 0.0 };
        let shorter = if version == Version::Shorter { 0.6 } else { 0.0 };
        let day = (form - 1.0) * 15.0 + self.dice.around(0.0, 0.55);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 1 to 10")]
        let rpe = (plain - lighter - shorter + day).round().clamp(1.0, 10.0) as u8;
        rpe
    }
}

/// The part in the coach's shorter version.
fn shorter(part: &Part) -> Option<Part> {
    let option = part.options.iter().find(|o| o.name.to_lowercase().contains("short"))?;
    let mut short = part.clone();
    short.rounds = option.rounds.clone().or(short.rounds);
    short.time_cap_s = option.time_cap_s.or(short.time_cap_s);
    short.duration_s = option.duration_s.or(short.duration_s);
    if option.replace.is_empty() && !option.lines.is_empty() {
        short.lines.clone_from(&option.lines);
    }
    if let Some(reps) = &option.reps {
        for line in short.lines.iter_mut().filter(|l| l.reps.is_some()) {
            line.reps = Some(reps.clone());
        }
    }
    Some(short)
}

/// Puts what hurt beside the first result of its week.
fn report_what_hurt(program: &Program, person: &Person, own: &mut [Draft]) {
    for hurt in &person.habit.hurt {
        let mut of_week = own.iter_mut().filter(|d| week(program, d.logged.session) == hurt.week);
        if let Some(draft) = of_week.find(|d| d.logged.rpe >= 5) {
            draft.logged.hurt = Some(hurt.r#where.clone());
        }
    }
}
