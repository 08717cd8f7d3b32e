//! What hurt at one line of a day is not given at another of it either.

use super::{Again, Wish, Wished};
use crate::training::member::Profile;
use crate::training::session::{Line, Session};
use crate::training::tailor::{Tailor, Tailored, TailoredLine};

const HERE_TOO: &str = "This hurt at another line today, so it stops here too. Your coach has been told. If it is sharp, or does not \
                        pass, see a doctor or another licensed professional before you load it again.";

/// The movements that were done when it was said that something hurts, and whether something else was asked for.
#[derive(Default)]
pub(super) struct Hurt(Vec<(String, Wish)>);

impl Hurt {
    /// Remembers what is given at a line, if this says that it hurts.
    pub(super) fn note(&mut self, now: &TailoredLine, wish: Wish) {
        if matches!(wish, Wish::Hurts | Wish::HurtsOther) {
            self.0.extend(now.given.iter().flat_map(movements).map(|name| (name.to_owned(), wish)));
        }
    }

    fn among(&self, now: &TailoredLine) -> Option<Wish> {
        let given: Vec<&str> = now.given.iter().flat_map(movements).collect();
        self.0.iter().find(|(name, _)| given.contains(&name.as_str())).map(|(_, wish)| *wish)
    }
}

/// What is done at a line, a complex in its pieces.
fn movements(line: &Line) -> impl Iterator<Item = &str> {
    let alone = line.complex.is_empty().then_some(line.movement.as_str());
    line.complex.iter().map(|piece| piece.movement.as_str()).chain(alone)
}

impl Tailor<'_> {
    /// Every line at which nothing was said and that gives what hurt elsewhere: it stops, or becomes something else, as that one.
    pub(super) fn spare(&self, session: &Session, profile: &Profile, wishes: &[Wished], hurt: &Hurt, out: &mut Tailored) {
        for (p, part) in session.parts.iter().enumerate() {
            let Some(lines) = out.parts.get_mut(p).map(|p| &mut p.lines) else { continue };
            for at in 0..lines.len() {
                let said = wishes.iter().any(|w| (w.part, w.line) == (p, at) && w.movement == lines[at].written.movement);
                let Some(wish) = hurt.among(&lines[at]).filter(|_| !said) else { continue };
                let again = Again { tailor: self, session, part, profile, beside: lines, at };
                lines[at] = match wish {
                    Wish::HurtsOther => again.line(&lines[at], wish),
                    _ => again.nothing(&lines[at], HERE_TOO),
                };
            }
        }
    }
}
