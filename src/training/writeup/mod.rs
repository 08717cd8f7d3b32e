//! Reading a coach's write-up into a session, and printing a session back.
//!
//! The text goes through five hands: [`token`] and [`tag`] say what each stretch means by itself, [`clause`] and
//! [`item`] what each clause says, [`assemble`] which part it belongs to (and `prepare` puts its rows right), [`resolve`] and
//! [`line`] what that makes in the public shape, and [`check`] what of it cannot be right.

pub mod assemble;
pub mod canonical;
pub mod check;
pub mod clause;
pub mod clocks;
mod crowded;
pub mod doses;
pub mod draft;
pub mod element;
pub mod empty_bar;
#[cfg(test)]
mod habits;
pub mod item;
mod left;
pub mod lexicon;
pub mod line;
pub mod marks;
mod prepare;
pub mod quantity;
pub mod resolve;
pub mod score;
mod slips;
mod stretch;
mod table;
pub mod tag;
mod tidy;
pub mod token;
pub mod words;
mod written_out;

pub use canonical::print;
pub use resolve::words as words_of_time;
pub use tidy::tidy;

use super::movement::Library;
use super::session::Session;
use line::Reader;

/// Reads a write-up. Never fails: what cannot be read stays as a note, and where it looks like more, as a problem.
#[must_use]
pub fn read(text: &str, library: &Library) -> Session {
    let lexicon = library.lexicon();
    if let Some(mut session) = canonical::parse(text) {
        session.problems = check::written(&session, library, lexicon);
        return session;
    }
    let doc = tag::doc(text, lexicon);
    let elements = tag::tag(&doc, library, lexicon);
    let clauses = clause::clauses(&doc, &elements);
    let mut sheet = assemble::assemble(&doc, &clauses, library, lexicon);
    prepare::prepare(&mut sheet, &doc, library);
    let mut reader = Reader { doc: &doc, library, lexicon, problems: Vec::new(), built: None, above: None };
    let typed = |s: &item::Span| doc.typed(s.0, s.1).to_owned();
    let mut session = Session {
        // `# Wednesday`: the sign makes a heading of it, and is no part of the name
        title: sheet.title.as_ref().map(typed).unwrap_or_default().trim_start_matches(['#', ' ']).to_owned(),
        aim: sheet.aim.first().map(typed),
        notes: sheet.notes.iter().map(typed).filter(|n| !n.is_empty()).collect(),
        parts: sheet.parts.iter().map(|d| reader.part(d)).collect(),
        problems: Vec::new(),
    };
    reader.scores(&sheet.parts, &mut session.parts);
    check::check(&mut reader, &sheet, &mut session);
    check::odd_clocks(&mut reader, &elements);
    session.problems = reader.problems;
    session.problems.sort_by_key(|p| (p.line, p.column));
    left::keep(text, &mut session);
    session.problems.dedup_by(|a, b| a.kind == b.kind && a.line == b.line && a.column == b.column);
    session
}

#[cfg(test)]
mod aim {
    use super::*;

    fn read_aim(text: &str) -> (Option<String>, usize, usize) {
        let session = read(text, Library::shipped());
        (session.aim, session.notes.len(), session.parts.len())
    }

    #[test]
    fn an_aim_is_the_whole_of_its_line() {
        let text = "Lamp room\nAim: one set, same rules as before. After that, keep it light.\n\n3x5 back squat @ 70%, rest 2:00";
        let whole = "Aim: one set, same rules as before. After that, keep it light".to_owned();
        assert_eq!(read_aim(text), (Some(whole), 0, 1));
    }

    #[test]
    fn an_aim_may_say_or() {
        let text = "Easy\nAim: the legs go for a walk, or a slow run, and the head may come along.\n\n3 rounds\n10 air squats";
        assert_eq!(read_aim(text).2, 1);
    }

    #[test]
    fn an_aim_in_a_chat_ends_where_the_work_begins() {
        let (aim, _, parts) = read_aim("aim: one pace all the way. then 3 rounds 10 air squats 10 push-ups");
        assert_eq!((aim.as_deref(), parts), (Some("aim: one pace all the way"), 1));
    }
}
