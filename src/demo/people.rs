//! The people of the demo, from `data/demo/practice.json` and `data/demo/members.json`.

use super::{Coach, Group, KnownMax, Member, Unit};
use crate::training::calendar;
use crate::training::member::{KitItem, Level, Profile};
use crate::training::movement::Demand;
use serde::Deserialize;
use time::{Date, Duration};

/// `practice.json`.
#[derive(Deserialize)]
pub struct SetUp {
    /// the practice's name
    pub name: String,
    /// the coach
    pub coach: SetUpCoach,
    /// in order of age
    pub groups: Vec<SetUpGroup>,
}

/// The coach in `practice.json`.
#[derive(Deserialize)]
pub struct SetUpCoach {
    name: String,
    email: String,
    zone: String,
}

/// A group in `practice.json`.
#[derive(Deserialize)]
pub struct SetUpGroup {
    /// the name of its folder of write-ups
    pub key: String,
    name: String,
    about: String,
}

impl SetUpCoach {
    /// What the practice shows of it.
    pub fn coach(&self) -> Coach {
        Coach { name: self.name.clone(), email: self.email.clone(), zone: self.zone.clone() }
    }
}

impl SetUpGroup {
    /// What the practice shows of it.
    pub fn group(&self) -> Group {
        Group { name: self.name.clone(), about: self.about.clone() }
    }
}

/// A member and the habits that make their results.
pub struct Person {
    /// what the practice shows
    pub member: Member,
    /// what only the dice know
    pub habit: Habit,
}

/// How someone trains, invented; it never leaves the demo.
#[derive(Clone, Deserialize)]
pub struct Habit {
    /// share of the typical time that a piece takes them: 0.85 is quick, 1.3 takes their time
    pub pace: f64,
    /// how strong beside others of their column: 1 is usual
    pub strength: f64,
    /// usual time of day, `06:30`
    pub at: String,
    /// share of the sessions they do in each of the six weeks
    pub comes: [f64; 6],
    /// how they type
    pub writes: Writes,
    /// what hurt, and when
    #[serde(default)]
    pub hurt: Vec<Hurt>,
}

/// How someone types a result.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Writes {
    /// `7:42`, `62.5 kg`
    Plain,
    /// `7:42`, `62.5`
    Short,
    /// `7:42 min`, `12 rounds + 5`
    Chatty,
    /// `62,5 kg`
    Comma,
    /// `135 lb`
    Pounds,
}

/// One report of something that hurt.
#[derive(Clone, Deserialize)]
pub struct Hurt {
    /// week of the six, from 1
    pub week: usize,
    /// where, in their words
    pub r#where: String,
}

#[derive(Deserialize)]
struct Row {
    name: String,
    nickname: Option<String>,
    email: String,
    zone: String,
    unit: String,
    level: Level,
    column: u8,
    about: String,
    kit: Vec<KitItem>,
    #[serde(default)]
    avoid: Vec<Demand>,
    maxes: Vec<MaxRow>,
    groups: Vec<String>,
    joined_days_ago: i64,
    shown: bool,
    habit: Habit,
}

#[derive(Deserialize)]
struct MaxRow {
    lift: String,
    kg: f64,
    how: String,
    days_ago: i64,
}

/// The practice itself.
#[expect(clippy::expect_used, reason = "the file is part of the program and read by its tests")]
pub fn set_up() -> SetUp {
    serde_json::from_str(include_str!("../../data/demo/practice.json")).expect("practice.json")
}

/// Everyone, with dates counted back from `today`.
#[expect(clippy::expect_used, reason = "the file is part of the program and read by its tests")]
pub fn people(set_up: &SetUp, today: Date) -> Vec<Person> {
    let rows: Vec<Row> = serde_json::from_str(include_str!("../../data/demo/members.json")).expect("members.json");
    rows.into_iter().map(|row| row.person(set_up, today)).collect()
}

impl Row {
    fn person(self, set_up: &SetUp, today: Date) -> Person {
        let day = |days_ago: i64| today.saturating_sub(Duration::days(days_ago));
        let maxes: Vec<KnownMax> = self
            .maxes
            .into_iter()
            .map(|m| KnownMax { lift: m.lift, kg: m.kg, on: day(m.days_ago), tested: m.how == "tested" })
            .collect();
        let profile = Profile {
            kit: self.kit,
            avoid: self.avoid,
            level: self.level,
            known_maxes_kg: maxes.iter().map(|m| (m.lift.clone(), m.kg)).collect(),
            max_days: maxes.iter().map(|m| (m.lift.clone(), calendar::iso(m.on))).collect(),
            column: Some(self.column),
            ..Profile::default()
        };
        let groups = set_up.groups.iter().enumerate().filter(|(_, g)| self.groups.contains(&g.key));
        let member = Member {
            name: self.name,
            nickname: self.nickname,
            email: self.email,
            zone: self.zone,
            unit: if self.unit == "lb" { Unit::Lb } else { Unit::Kg },
            about: self.about,
            profile,
            maxes,
            groups: groups.map(|(i, _)| i).collect(),
            joined: day(self.joined_days_ago),
            shown: self.shown,
        };
        Person { member, habit: self.habit }
    }
}
