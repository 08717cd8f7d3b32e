//! Several movements done as one repetition: each piece is tailored, and the pieces stay together where one load does for all.

use super::pick::Who;
use super::shelf::Shelf;
use super::{Action, TailoredLine, line as one_line, why, window};
use crate::training::dose::{Amount, Load};
use crate::training::session::{Line, Part, Piece};

/// Tailors a complex.
pub(crate) fn line(written: &Line, part: &Part, shelf: &Shelf<'_>, who: &Who<'_>, share: Option<f64>) -> TailoredLine {
    let single = |p: &Piece| Line {
        movement: p.movement.clone(),
        known: p.known,
        reps: p.reps.clone().or(Some(Amount::One(1.0))),
        load: written.load.clone(),
        implements: written.implements,
        ..Line::default()
    };
    let alone = Part { lines: Vec::new(), options: Vec::new(), ..part.clone() };
    let pieces: Vec<TailoredLine> = written.complex.iter().map(|p| one_line(&single(p), &alone, shelf, who, None)).collect();
    let mut out = TailoredLine { written: written.clone(), ..TailoredLine::default() };
    out.action = pieces.iter().map(|p| p.action).max().unwrap_or_default();
    out.tell_coach = pieces.iter().any(|p| p.tell_coach);
    if let Some(stop) = pieces.iter().find(|p| p.action == Action::Refer) {
        out.why.clone_from(&stop.why);
        out.waits = pieces.iter().any(|p| p.waits);
        return out;
    }
    out.why = pieces.iter().find(|p| p.action == out.action).map(|p| p.why.clone()).unwrap_or_default();
    let given: Vec<&Line> = pieces.iter().flat_map(|p| &p.given).collect();
    let mut whole = joined(written, &given);
    if let (Some(share), Some(reps)) = (share, &whole.reps) {
        let fewer = window::fewer(reps, share, whole.side);
        if fewer != *reps {
            whole.reps = Some(fewer);
            out.why = format!("{} {}", out.why, why::held(&window::words(part))).trim().to_owned();
        }
    }
    out.given = vec![whole];
    if let Some(lightest) = lightest(&pieces) {
        out.plates_per_side_kg.clone_from(&lightest.plates_per_side_kg);
        out.plates_per_side_lb.clone_from(&lightest.plates_per_side_lb);
    }
    out
}

/// The pieces as one line again; each keeps how often it was written, and the lightest load is the load of all.
fn joined(written: &Line, given: &[&Line]) -> Line {
    let pieces = given.iter().zip(&written.complex).map(|(g, w)| Piece {
        movement: g.movement.clone(),
        reps: w.reps.clone(),
        known: g.known,
    });
    let load = given.iter().filter_map(|g| g.load.as_ref()).min_by(|a, b| weight(a).total_cmp(&weight(b)));
    Line {
        complex: pieces.collect(),
        load: load.cloned(),
        implements: given.iter().filter_map(|g| g.implements).min(),
        alternatives: Vec::new(),
        ..written.clone()
    }
}

fn lightest(pieces: &[TailoredLine]) -> Option<&TailoredLine> {
    let load = |p: &TailoredLine| p.given.first().and_then(|g| g.load.as_ref()).map_or(f64::INFINITY, weight);
    pieces.iter().min_by(|a, b| load(a).total_cmp(&load(b)))
}

/// For comparing the loads of one complex, which are of one kind.
fn weight(load: &Load) -> f64 {
    match load {
        Load::Kg { values, .. } | Load::Lb { values, .. } => values.first().copied().unwrap_or(0.0),
        _ => 0.0,
    }
}
