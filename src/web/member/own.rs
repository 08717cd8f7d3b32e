//! What reading somebody's session needs, kept in memory while nothing of it changed.

use super::day::view::{Reader, Since};
use crate::store::changes::Mark;
use crate::store::ids::{GroupId, PersonId, VersionId};
use crate::store::people::Person;
use crate::store::weeks::Published;
use crate::store::wishes::Wishes;
use crate::training::member::Profile;
use crate::training::movement::Library;
use crate::training::tailor::{House, Tailored};
use crate::web::App;
use crate::web::error::Error;
use std::collections::{HashMap, HashSet};
use std::fmt;
use std::sync::{Arc, Mutex, PoisonError};
use time::Date;

/// Most members whose homes are kept; one more, and another is read anew.
const KEPT: usize = 500;
/// Most sessions of one of them.
const TAILORED: usize = 2;
/// Most versions of sessions that are kept.
const VERSIONS: usize = 500;

/// What reading somebody's session needs, fetched once.
pub(in crate::web) struct Own {
    library: Arc<Library>,
    profile: Profile,
    wishes: Wishes,
    house: House,
    groups: HashSet<GroupId>,
    /// sessions as this member does them
    tailored: Mutex<HashMap<VersionId, Arc<Tailored>>>,
    mark: Mark,
    today: Date,
}

type Versions = HashMap<VersionId, (Mark, Arc<Published>)>;

/// Homes and versions that are kept.
#[derive(Clone, Default)]
pub struct Homes {
    own: Arc<Mutex<HashMap<PersonId, Arc<Own>>>>,
    versions: Arc<Mutex<Versions>>,
}

impl fmt::Debug for Homes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // what is in it is private
        f.debug_struct("Homes").finish_non_exhaustive()
    }
}

impl Own {
    /// As it is now.
    ///
    /// # Errors
    /// Only the store's own.
    pub async fn of(app: &App, person: &Person) -> Result<Arc<Self>, Error> {
        app.look_around().await?;
        let (library, today) = (app.library(), person.zone.day(app.clock.now()));
        let kept = app.homes.own.lock().unwrap_or_else(PoisonError::into_inner).get(&person.id).cloned();
        let same = |own: &Arc<Self>| {
            own.today == today && Arc::ptr_eq(&own.library, &library) && app.store.changes().same_home(person.id, own.mark)
        };
        if let Some(own) = kept.filter(same) {
            return Ok(own);
        }
        let mark = app.store.changes().mark();
        // whoever asks was read before the mark, and may have changed since
        let person = app.store.person(person.id).await?;
        let own = Arc::new(Self {
            library,
            profile: app.store.profile(&person).await?,
            wishes: app.store.wishes_of(person.id).await?,
            house: app.store.house(today).await?,
            groups: app.store.group_ids_of(person.id).await?,
            tailored: Mutex::default(),
            mark,
            today,
        });
        let mut all = app.homes.own.lock().unwrap_or_else(PoisonError::into_inner);
        if all.len() >= KEPT
            && let Some(other) = all.keys().next().copied()
        {
            all.remove(&other);
        }
        all.insert(person.id, own.clone());
        Ok(own)
    }

    /// A version of a session of one of their groups.
    ///
    /// # Errors
    /// Not found where it is of another group.
    pub async fn version(&self, app: &App, id: VersionId) -> Result<Arc<Published>, Error> {
        let kept = app.homes.versions.lock().unwrap_or_else(PoisonError::into_inner).get(&id).cloned();
        let version = match kept.filter(|(mark, _)| app.store.changes().same_practice(*mark)) {
            Some((_, version)) => version,
            None => {
                let mark = app.store.changes().mark();
                let version = Arc::new(app.store.version(id).await?);
                let mut all = app.homes.versions.lock().unwrap_or_else(PoisonError::into_inner);
                if all.len() >= VERSIONS {
                    all.clear();
                }
                all.insert(id, (mark, version.clone()));
                version
            }
        };
        if self.groups.contains(&version.group_id) { Ok(version) } else { Err(Error::NotFound) }
    }

    /// A session as this member does it.
    pub fn tailored(&self, version: &Published, reader: &Reader<'_>) -> Arc<Tailored> {
        let mut all = self.tailored.lock().unwrap_or_else(PoisonError::into_inner);
        if all.len() >= TAILORED && !all.contains_key(&version.version_id) {
            all.clear();
        }
        all.entry(version.version_id).or_insert_with(|| Arc::new(reader.tailored(version))).clone()
    }

    /// The member's eyes.
    #[must_use]
    pub fn reader<'a>(&'a self, app: &App, person: &'a Person) -> Reader<'a> {
        Reader {
            person,
            profile: &self.profile,
            library: &self.library,
            now: app.clock.now(),
            wishes: &self.wishes,
            house: &self.house,
            since: Since::default(),
        }
    }
}
