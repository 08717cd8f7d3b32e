//! A day's slot in a group's week, as an address names it.

use super::week_address;
use crate::store::groups::Group;
use crate::store::ids::GroupId;
use crate::store::weeks::Slot;
use crate::training::calendar;
use crate::web::App;
use crate::web::error::Error;
use time::Date;

/// The path of a slot: group, day, number.
pub(super) type SlotPath = (i64, String, u8);

/// Most sessions on one day.
pub(super) const SLOTS: u8 = 6;

/// A slot of a group that exists; something may be written there or not.
#[derive(Clone, Debug)]
pub(super) struct Place {
    pub(super) group: Group,
    pub(super) day: Date,
    pub(super) slot: u8,
}

impl Place {
    /// The slot of an address.
    pub(super) async fn read(app: &App, (group, day, slot): SlotPath) -> Result<Self, Error> {
        let day = calendar::read_iso(&day).ok_or(Error::NotFound)?;
        if !(1..=SLOTS).contains(&slot) {
            return Err(Error::NotFound);
        }
        Ok(Self { group: app.store.group(GroupId(group)).await?, day, slot })
    }

    /// What is written there.
    pub(super) async fn stored(&self, app: &App) -> Result<Option<Slot>, Error> {
        Ok(app.store.slot(self.group.id, self.day, self.slot).await?)
    }

    /// Its editor.
    pub(super) fn address(&self) -> String {
        format!("/groups/{}/days/{}/{}", self.group.id, calendar::iso(self.day), self.slot)
    }

    /// The week it is in.
    pub(super) fn week(&self) -> String {
        week_address(self.group.id, calendar::monday(self.day))
    }

    /// `Thursday 26 November`, and which session of the day where it is not the first.
    pub(super) fn words(&self) -> String {
        let day = calendar::long(self.day);
        if self.slot == 1 { day } else { format!("{day}, session {}", self.slot) }
    }
}
