//! What a member may read about a session, each at the line that it is about: their own, and what the coach shared, here or about
//! a session that this one is a copy of.

use crate::store::people::Person;
use crate::store::questions::Question;
use crate::store::weeks::Published;
use crate::training::same_line::{Stands, in_copy};
use crate::web::App;
use crate::web::error::Error;

/// A question, and the part and line of the session on show at which it stands; none: with the session.
pub(in crate::web) type AtLine = (Question, Option<(usize, usize)>);

/// Questions about a session, those about copies of it first, oldest first.
pub(in crate::web) async fn about(app: &App, member: &Person, shown: &Published) -> Result<Vec<AtLine>, Error> {
    let mut all = Vec::new();
    for q in app.store.shared_about_copies(member.id, shown.session_id).await? {
        let stands = q.about.as_ref().and_then(|a| in_copy(&a.session, a.part, a.line, &shown.session));
        match stands {
            Some(Stands::Line(part, line)) => all.push((q, Some((part, line)))),
            Some(Stands::Part(_) | Stands::Session) => all.push((q, None)),
            // what was asked of something else says nothing here
            None => {}
        }
    }
    for q in app.store.questions_about(member.id, shown.session_id).await? {
        let line = line_of(&q, shown);
        all.push((q, line));
    }
    Ok(all)
}

/// The line that a question is about, where it still is the same movement; pain stays with the day.
fn line_of(q: &Question, now: &Published) -> Option<(usize, usize)> {
    let about = q.about.as_ref().filter(|_| !q.pain)?;
    let (part, line) = (now.part_under(about.stands?)?, about.line?);
    let then = about.session.parts.get(about.part?)?.lines.get(line)?;
    let still = now.session.parts.get(part)?.lines.get(line)?;
    (then.movement == still.movement && then.complex == still.complex).then_some((part, line))
}
