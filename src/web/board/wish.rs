//! How boards are to be shown: one list or several, whose kit, which groups. The board of a part and those of a week ask alike.

use super::standing::{Cut, Kit, Standing, Which};
use crate::store::people::{Person, Role};
use crate::web::address;
use serde::Deserialize;

/// Rows that a table shows at first, and with each step further down.
const FIRST: usize = 50;
/// Rows around the reader's own.
const AROUND: usize = 2;

/// How the board is to be shown, and what was just done.
#[derive(Clone, Default, Deserialize)]
#[serde(default)]
pub struct Wish {
    list: Option<String>,
    kit: Option<String>,
    groups: Option<String>,
    /// a table of which rows further down are asked for, and from which on
    table: Option<String>,
    from: Option<usize>,
    said: Option<String>,
}

impl Wish {
    /// Which board this is for this reader. What somebody has at home is theirs and the coach's: a member can ask for those
    /// with kit like their own, and for no other kind.
    pub(super) fn which(&self, reader: &Person, across: bool) -> Which {
        let coach = reader.role == Role::Coach;
        Which {
            one_list: match self.list.as_deref() {
                Some("one") => Some(true),
                Some("versions") => Some(false),
                _ => None,
            },
            kit: self.kit.as_deref().and_then(Kit::named).filter(|kit| coach || *kit == Kit::of(reader)),
            all_groups: self.all_groups() && (coach || across),
        }
    }

    /// Other groups are asked for too; whether that is allowed, [`Wish::which`] says.
    pub(super) fn all_groups(&self) -> bool {
        self.groups.as_deref() == Some("all")
    }

    /// What was just done.
    pub(super) fn said(&self) -> Option<&str> {
        self.said.as_deref()
    }

    /// What the page of a part shows of its board.
    pub(super) fn cut<'a>(&'a self, reader: &'a Person) -> Cut<'a> {
        let from = self.table.as_deref().zip(self.from);
        Cut { reader, first: FIRST, around: AROUND, from, strips: true }
    }

    /// These wishes as they stand in an address, with `?`; nothing where there are none.
    pub(super) fn address(&self) -> String {
        let parts = [("list", &self.list), ("kit", &self.kit), ("groups", &self.groups), ("table", &self.table)];
        let mut said: Vec<String> =
            parts.iter().filter_map(|(name, value)| value.as_ref().map(|v| format!("{name}={}", address::value(v)))).collect();
        said.extend(self.from.map(|n| format!("from={n}")));
        if said.is_empty() { String::new() } else { format!("?{}", said.join("&")) }
    }

    /// What says behind the address of a nod on which board it was tapped.
    pub(super) fn behind_nods(&self, session: i64, part: usize) -> String {
        let shown = self.address().replacen('?', "&", 1);
        format!("?session={session}&part={part}{shown}")
    }

    /// The same, on the page of a week.
    pub(super) fn behind_nods_of_week(&self, session: i64, part: usize) -> String {
        self.behind_nods(session, part) + "&week=yes"
    }

    /// What says behind the address of the news of which groups they are.
    pub(super) fn of_news(&self, which: Which) -> &'static str {
        if which.all_groups { "?groups=all" } else { "" }
    }

    /// The board with rows of a table from this one on.
    pub(super) fn further(&self, table: &str, from: usize) -> String {
        self.with(|w| (w.table, w.from) = (Some(table.to_owned()), Some(from)))
    }

    /// The wishes that a page of several boards passes on to one of them.
    pub(super) fn of_each(&self) -> Self {
        Self { table: None, from: None, said: None, ..self.clone() }
    }

    fn with(&self, change: impl FnOnce(&mut Self)) -> String {
        let mut other = self.of_each();
        change(&mut other);
        let address = other.address();
        // an empty link would lead back to the wishes of this page
        if address.is_empty() { "?".to_owned() } else { address }
    }
}

/// Links of which one holds.
pub(super) struct Choice {
    pub name: &'static str,
    /// words, address, chosen
    pub of: Vec<(String, String, bool)>,
}

/// What there is to choose between one list and several.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Lists {
    /// there are several versions to part or to join
    pub several: bool,
    /// all stand in one list; none where boards on the page differ
    pub one: Option<bool>,
}

impl Lists {
    pub fn of(standing: &Standing) -> Self {
        let one = standing.policy.one_list;
        Self { several: one || standing.tables.len() > 1, one: Some(one) }
    }

    /// Of two boards on one page; `None` before the first.
    pub fn and(before: Option<Self>, other: Self) -> Self {
        let Some(before) = before else { return other };
        Self { several: before.several || other.several, one: before.one.filter(|one| other.one == Some(*one)) }
    }
}

/// What can be chosen. A choice of one is none.
pub(super) fn choices(wish: &Wish, which: Which, lists: Lists, reader: &Person, across: bool) -> Vec<Choice> {
    let coach = reader.role == Role::Coach;
    let mut out = Vec::new();
    if lists.several {
        let list =
            |words: &str, key: &str, chosen: bool| (words.to_owned(), wish.with(|w| w.list = Some(key.to_owned())), chosen);
        let versions = list("By version", "versions", lists.one == Some(false));
        out.push(Choice { name: "Versions", of: vec![versions, list("One list", "one", lists.one == Some(true))] });
    }
    let mine = Kit::of(reader);
    let mut kits = vec![("Everybody".to_owned(), wish.with(|w| w.kit = None), which.kit.is_none())];
    for kit in Kit::ALL.into_iter().filter(|k| coach || *k == mine) {
        let words =
            if !coach && kit == mine { format!("Kit like yours: {}", kit.words()) } else { format!("With {}", kit.words()) };
        kits.push((words, wish.with(|w| w.kit = Some(kit.key().to_owned())), which.kit == Some(kit)));
    }
    out.push(Choice { name: "Who is listed", of: kits });
    if coach || across {
        let all = which.all_groups;
        out.push(Choice {
            name: "Groups",
            of: vec![
                ("This group".to_owned(), wish.with(|w| w.groups = None), !all),
                ("All groups".to_owned(), wish.with(|w| w.groups = Some("all".to_owned())), all),
            ],
        });
    }
    out
}
