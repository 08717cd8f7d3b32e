//! Typing one's password once more before something that a borrowed phone must not do.

use crate::store::people::Person;
use crate::web::App;
use crate::web::access;
use crate::web::client::Client;
use crate::web::error::Error;
use crate::web::limits;
use crate::web::trail;
use axum::http::HeaderMap;

/// Whether it was right; if not, why in words.
pub enum Confirmed {
    /// it was
    Right,
    /// it was not, or there were too many tries
    Not(String),
}

/// Looks at the password of the one who is signed in, under the same limits as signing in.
///
/// # Errors
/// Only the store's own, and too many at once.
pub async fn password(
    app: &App,
    person: &Person,
    Client(from): Client,
    headers: &HeaderMap,
    typed: String,
) -> Result<Confirmed, Error> {
    let known = access::is_known(app, person.id, headers);
    let counted = match app.limits.count(&person.sign_in, from, known, app.clock.now()) {
        Ok(counted) => counted,
        Err(wait) => {
            trail::limited(app);
            return Ok(Confirmed::Not(format!("Too many tries. Wait {}.", limits::minutes(wait))));
        }
    };
    let hash = app.store.credentials(&person.sign_in).await?.and_then(|(_, hash)| hash);
    if app.passwords.verify(typed, hash).await? {
        app.limits.forgive(&counted);
        return Ok(Confirmed::Right);
    }
    trail::wrong_sign_in(app, Some(person.id)).await;
    Ok(Confirmed::Not("That is not your password.".to_owned()))
}
