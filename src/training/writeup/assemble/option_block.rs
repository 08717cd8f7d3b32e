//! Another version that is written out: `Option: low impact`, and its lines below.

use super::super::clause::{Clause, Join};
use super::super::draft::Draft;
use super::super::element::What;
use super::super::item::Item;
use super::{Assembler, starts_lines};

impl Assembler<'_, '_> {
    /// Clause after the lines that a version has below it, where its heading at `i` stands alone on its typed line up to `end`
    /// and the next line says how it runs or what is done in it.
    pub(super) fn option_lines(&self, i: usize, end: usize) -> Option<usize> {
        let line = &self.clauses[i..end];
        let bare = |n: &Clause| n.said.items.iter().all(|it| !it.is_dosed() && it.load.is_none()) && n.said.facts.is_empty();
        let words: usize = line.iter().map(|n| n.said.words.len() + n.said.items.len()).sum();
        let heads = line[0].join == Join::Line && !line[0].inside && line.iter().all(bare) && words < 7;
        let above = if self.cur.is_blank() { self.sheet.parts.last()? } else { &self.cur };
        let next = self.clauses.get(end).filter(|n| heads && above.has_rounds_lines() && self.is_of_block(n))?;
        let same = next.said.facts.shapes() && runs_alike(above, next);
        let works = same || starts_lines(&next.said.items) && !next.said.facts.shapes();
        if !works {
            return None;
        }
        let more = self.clauses[end..].iter().take_while(|n| self.is_of_block(n)).count();
        let block = &self.clauses[end..end + more];
        block.iter().any(|n| n.said.items.iter().any(Item::is_named)).then_some(end + more)
    }

    /// It goes on with the lines above it: no empty line, and nothing that heads or scores.
    fn is_of_block(&self, n: &Clause) -> bool {
        let speaks = matches!(n.said.prefix, Some(What::Score | What::Option | What::Note | What::Aim));
        !n.blank && n.lead.label.is_none() && n.said.facts.heading.is_none() && !speaks && !n.said.link
    }
}

/// The clause runs in the way that the part above it does.
fn runs_alike(above: &Draft, n: &Clause) -> bool {
    let f = &n.said.facts;
    f.amrap.is_some() && above.first(|a| a.amrap).is_some()
        || f.every.is_some() && above.first(|a| a.every).is_some()
        || f.on_off.is_some() && above.first(|a| a.on_off).is_some()
        || (f.rounds.is_some() || f.for_time.is_some())
            && (above.first(|a| a.rounds.clone()).is_some() || above.first(|a| a.for_time).is_some())
}

#[cfg(test)]
mod tests {
    use super::super::super::read;
    use crate::training::movement::Library;

    #[test]
    fn a_version_that_is_written_out_is_no_part_of_its_own() {
        let part = "AMRAP 12\n10 box jumps\n12 swings";
        for heads in ["Option: low impact", "Low impact option:", "Scaled version", "Beginners:", "quiet option -"] {
            for runs in ["AMRAP 12\n", ""] {
                let text = format!("{part}\n\n{heads}\n{runs}10 step-ups\n12 kb deadlifts\n\nCool-down\n60 s child's pose");
                let session = read(&text, Library::shipped());
                let told = session.parts.iter().map(|p| (p.lines.len(), p.options.len())).collect::<Vec<_>>();
                assert_eq!(told, [(2, 1), (1, 0)], "{text}");
                assert_eq!(session.parts[0].options[0].lines.len(), 2, "{text}");
            }
        }
    }
}
