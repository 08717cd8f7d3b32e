//! The sentence beside a place.

use super::ladder::Placed;
use super::policy::{Policy, TieBreak};
use crate::training::score::Score;
use std::sync::Arc;

/// One line: the place, the result, and what decided. `all` is sorted.
pub(super) fn why(p: &Placed, place: usize, group: &str, all: &[Arc<Placed>], policy: &Policy) -> String {
    let up_to = |worse: &dyn Fn(&Placed) -> bool| all.partition_point(|o| !worse(o));
    let equal = up_to(&|o| o.result > p.result) - all.partition_point(|o| o.result < p.result);
    let better = all.partition_point(|o| (&o.result, o.tie) < (&p.result, p.tie));
    let shared = up_to(&|o| (&o.result, o.tie) > (&p.result, p.tie)) - better;
    let name = match group {
        "" => String::new(),
        "full" => " as written".to_owned(),
        other => format!(" in {other}"),
    };
    let mut line = format!("place {place} of {}{name}: {}", all.len(), p.entry.score.words());
    let finisher = |o: &Placed| matches!(o.entry.score, Score::Time { .. });
    if matches!(p.entry.score, Score::Capped { .. }) && all.first().is_some_and(|o| finisher(o)) {
        line.push_str(", behind every finisher");
    }
    if shared > 1 {
        let others = if shared == 2 { "one other".to_owned() } else { format!("{} others", shared - 1) };
        line.push_str(&format!("; equal to {others}, so the place is shared"));
    } else if equal > 1 {
        line.push_str(&format!("; equal results, parted by {}", tie_words(&policy.tie_break)));
    }
    sentence(&line)
}

fn tie_words(tie: &TieBreak) -> &str {
    match tie {
        TieBreak::Clock(words) => words,
        TieBreak::LighterBody => "body weight",
        TieBreak::HeavierLoad => "the load",
        TieBreak::FewerReps | TieBreak::MoreReps => "reps at that load",
        TieBreak::None => "nothing",
    }
}

/// A capital in front and a full stop behind.
pub(super) fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    let first: String = chars.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    let end = if text.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{first}{}{end}", chars.as_str())
}
