//! What every page has around its own words.

use crate::store::people::{Person, Role};
use serde::Deserialize;

/// What was just done, from the address after a redirect.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Said {
    /// a code of this file
    pub said: Option<String>,
}

/// Title, who is signed in, where they are.
#[derive(Clone, Debug)]
pub struct Frame {
    /// of the page
    pub title: String,
    /// who is signed in
    pub who: Option<Who>,
    /// which entry of the menu is this page's
    pub here: &'static str,
    /// what was just done, in words
    pub said: Option<&'static str>,
}

/// Who is signed in, as the menu needs it.
#[derive(Clone, Debug)]
pub struct Who {
    /// row; what is kept on a device is shown on the pages of its owner alone
    pub id: i64,
    /// name
    pub name: String,
    /// coach or member
    pub coach: bool,
    /// a coach who has no passkey yet: every page says so
    pub without_passkey: bool,
}

impl Frame {
    /// A page for someone who is not signed in, or whose pages do not depend on it.
    #[must_use]
    pub fn signed_out(title: &str) -> Self {
        Self { title: title.to_owned(), who: None, here: "", said: None }
    }

    /// A page of a signed-in person; `here` is the menu entry it belongs to.
    #[must_use]
    pub fn of(person: &Person, title: impl Into<String>, here: &'static str) -> Self {
        let coach = person.role == Role::Coach;
        let who = Who { id: person.id.0, name: person.name.clone(), coach, without_passkey: coach && person.passkeys == 0 };
        Self { title: title.into(), who: Some(who), here, said: None }
    }

    /// Says what was just done; `code` comes from the address after a redirect.
    #[must_use]
    pub fn saying(mut self, code: Option<&str>) -> Self {
        self.said = code.and_then(said);
        self
    }

    /// A member reads it.
    #[must_use]
    pub fn member(&self) -> bool {
        self.who.as_ref().is_some_and(|who| !who.coach)
    }

    /// Where a file of `static/` is served from, for ever.
    #[must_use]
    pub fn asset(&self, path: &str) -> String {
        asset(path)
    }
}

/// Where a file of `static/` is served from, for ever: the address changes with the content.
#[must_use]
pub fn asset(path: &str) -> String {
    concat!("/static/", env!("DOWEL_STATIC"), "/").to_owned() + path
}

/// Words for what was just done. Only these codes are ever shown, so an address cannot put words on a page.
fn said(code: &str) -> Option<&'static str> {
    Some(match code {
        "saved" => "Saved.",
        "told" => "Saved, and your coach has been told. Until your coach has decided, what it touches is left out.",
        "passed_on" => "Saved, and your word lies before your coach. It leaves nothing out of your sessions.",
        "logged" => "Your result is saved.",
        "logged-ask" => "Your result is saved. One question about it stands at the part.",
        "withdrawn" => "Withdrawn.",
        "published" => "Published. Members see it from now on.",
        "published-some" => "Published, but for the sessions with errors: they stay drafts.",
        "unchanged" => "Nothing was published: nothing was there to publish.",
        "unpublished" => "Taken back. Members no longer see it; results are kept.",
        "copied" => "Copied. Read it through and change what should change.",
        "copied-some" => "Copied. Where something stood already it was left alone.",
        "asked" => "Your question is with the coach.",
        "answered" => "Answered.",
        "invited" => "The invitation is ready to send.",
        "password" => "Your password is set.",
        "mailed" => {
            "If somebody signs in with that address, a link is on its way to it. Nothing after some minutes? Look among unwanted mail, or ask your coach."
        }
        "passkey" => "The passkey is made. Next time you can sign in with it, without typing anything.",
        "passkey-gone" => "The passkey is removed, and every other device is signed out.",
        "passkey-asked" => "A passkey is asked for from now on. Other devices are signed out.",
        "passkey-free" => "A password is enough again.",
        "linked" => "The link is ready to give.",
        "left" => "They left. You can take them back here.",
        "returned" => "They are back and can sign in.",
        "sent" => "Sent.",
        "spoken" => "Noted. They come back here if they stay quiet for another week.",
        "chosen" => "Chosen. Whoever it is for sees it, with your name for a reason.",
        "decided" => "Decided. They read it above their sessions.",
        "undecided" => "Taken back: their words hold back again what they did.",
        "put_away" => "Put away. Whoever asked still has it.",
        "seen" => "Seen. It comes back if it changes.",
        "settled" => "It counts as you said. Whose it is reads that, with your name.",
        "changed_since" => "Nothing was changed: this result is another one by now. Look at it again.",
        "reset" => "Back as it came.",
        "changed" => "Noted for today: the line says what it comes to. One tap takes it back.",
        "as-before" => "As before.",
        "deleted" => "Deleted.",
        "access-ended" => "Their access has ended. What they wrote stays.",
        "signed-out" => "Signed out there.",
        "erased" => "Deleted for good.",
        "imported" => "Brought in.",
        "ended" => "The token ended. Programs that used it are out.",
        _ => return None,
    })
}
