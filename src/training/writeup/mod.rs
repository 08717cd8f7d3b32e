//! Reading a coach's write-up into a session, and printing a session back.
//!
//! The text goes through five hands: [`token`] and [`tag`] say what each stretch means by itself, [`clause`] and
//! [`item`] what each clause says, [`assemble`] which part it belongs to, [`resolve`] and [`line`] what that makes in
//! the public shape, and [`check`] what of it cannot be right.

pub mod assemble;
pub mod canonical;
pub mod check;
pub mod clause;
pub mod clocks;
pub mod doses;
pub mod draft;
pub mod element;
pub mod item;
pub mod lexicon;
pub mod line;
pub mod marks;
pub mod quantity;
pub mod resolve;
pub mod score;
pub mod tag;
pub mod token;
pub mod words;

pub use canonical::print;
pub use resolve::words as words_of_time;

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
    let sheet = assemble::assemble(&doc, &clauses);
    let mut reader = Reader { doc: &doc, library, lexicon, problems: Vec::new(), built: None };
    let typed = |s: &item::Span| doc.typed(s.0, s.1).to_owned();
    let mut session = Session {
        title: sheet.title.as_ref().map(typed).unwrap_or_default(),
        aim: sheet.aim.first().map(typed),
        notes: sheet.notes.iter().map(typed).filter(|n| !n.is_empty()).collect(),
        parts: sheet.parts.iter().map(|d| reader.part(d)).collect(),
        problems: Vec::new(),
    };
    reader.scores(&sheet.parts, &mut session.parts);
    check::check(&mut reader, &sheet, &mut session);
    session.problems = reader.problems;
    session.problems.sort_by_key(|p| (p.line, p.column));
    session.problems.dedup_by(|a, b| a.kind == b.kind && a.line == b.line && a.column == b.column);
    session
}
