//! What the coach decided for tailoring: rules, and lines chosen for some members.

use super::ids::{PersonId, PinId, SessionId};
use super::{Store, StoreError, millis};
use crate::training::movement::{Demand, Implement};
use crate::training::session::{Intent, Line};
use crate::training::tailor::{House, Pin, Rules, Whom};
use sqlx::Row;
use sqlx::sqlite::SqliteRow;
use time::{Date, OffsetDateTime};

const RULES: &str = "tailoring";

/// A pin as a coach reads it in a list.
#[derive(Clone, Debug)]
pub struct KeptPin {
    /// what tailoring needs
    pub pin: Pin,
    /// the member's name, where it is for one
    pub name: Option<String>,
    /// the session's group, day and slot, where it is for one
    pub place: Option<(i64, Date, u8)>,
}

fn word<T: serde::de::DeserializeOwned>(text: String) -> Result<T, StoreError> {
    Ok(serde_json::from_value(serde_json::Value::String(text))?)
}

fn whom(row: &SqliteRow) -> Result<Whom, StoreError> {
    let (person, lacks): (Option<i64>, Option<String>) = (row.try_get("person_id")?, row.try_get("lacks")?);
    Ok(match (person, lacks) {
        (Some(id), _) => Whom::Member(id),
        (None, Some(lacks)) => Whom::Lacking(word::<Implement>(lacks)?),
        (None, None) => Whom::Avoiding(word::<Demand>(row.try_get("avoids")?)?),
    })
}

fn pin(row: &SqliteRow) -> Result<Pin, StoreError> {
    let becomes: String = row.try_get("becomes")?;
    Ok(Pin {
        id: row.try_get("id")?,
        session: row.try_get("session_id")?,
        whom: whom(row)?,
        movement: row.try_get("movement")?,
        intent: word::<Intent>(row.try_get("intent")?)?,
        becomes: serde_json::from_str::<Line>(&becomes)?,
    })
}

impl Store {
    /// Rules and pins, newest pin first, as of `today`.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn house(&self, today: Date) -> Result<House, StoreError> {
        let rows = sqlx::query("select * from pins order by id desc").fetch_all(&self.read).await?;
        let pins = rows.iter().map(pin).collect::<Result<_, _>>()?;
        Ok(House { rules: self.rules().await?, pins, today: Some(today) })
    }

    /// The rules, or what they are where the coach changed none.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn rules(&self) -> Result<Rules, StoreError> {
        let kept: Option<String> =
            sqlx::query_scalar("select value from settings where key = $1").bind(RULES).fetch_optional(&self.read).await?;
        Ok(kept.map(|text| serde_json::from_str(&text)).transpose()?.unwrap_or_default())
    }

    /// Keeps the rules; without any they are as they come.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn save_rules(&self, rules: Option<&Rules>) -> Result<(), StoreError> {
        match rules {
            Some(rules) => {
                sqlx::query("insert into settings (key, value) values ($1, $2) on conflict (key) do update set value = $2")
                    .bind(RULES)
                    .bind(serde_json::to_string(rules)?)
                    .execute(&self.write)
                    .await?
            }
            None => sqlx::query("delete from settings where key = $1").bind(RULES).execute(&self.write).await?,
        };
        Ok(())
    }

    /// Keeps a pin in place of one for the same members, movement and place; its `id` is ignored.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn add_pin(&self, pin: &Pin, now: OffsetDateTime) -> Result<PinId, StoreError> {
        let (person, lacks, avoids) = match pin.whom {
            Whom::Member(id) => (Some(PersonId(id)), None, None),
            Whom::Lacking(tool) => (None, Some(tool.key()), None),
            Whom::Avoiding(demand) => (None, None, Some(demand.key())),
        };
        let session = pin.session.map(SessionId);
        let mut tx = self.begin().await?;
        sqlx::query(
            "delete from pins where movement = $1 and intent = $2 and session_id is $3 and person_id is $4
             and lacks is $5 and avoids is $6",
        )
        .bind(&pin.movement)
        .bind(pin.intent.key())
        .bind(session)
        .bind(person)
        .bind(lacks)
        .bind(avoids)
        .execute(&mut *tx)
        .await?;
        let id = sqlx::query_scalar(
            "insert into pins (movement, intent, session_id, person_id, lacks, avoids, becomes, created_at)
             values ($1, $2, $3, $4, $5, $6, $7, $8) returning id",
        )
        .bind(&pin.movement)
        .bind(pin.intent.key())
        .bind(session)
        .bind(person)
        .bind(lacks)
        .bind(avoids)
        .bind(serde_json::to_string(&pin.becomes)?)
        .bind(millis(now))
        .fetch_one(&mut *tx)
        .await?;
        tx.commit().await?;
        Ok(id)
    }

    /// Takes a pin away.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub async fn remove_pin(&self, id: PinId) -> Result<(), StoreError> {
        let gone = sqlx::query("delete from pins where id = $1").bind(id).execute(&self.write).await?;
        if gone.rows_affected() == 0 { Err(StoreError::NotFound) } else { Ok(()) }
    }

    /// Every pin with whom and what it is about, newest first.
    ///
    /// # Errors
    /// Only the database's own.
    pub async fn pins(&self) -> Result<Vec<KeptPin>, StoreError> {
        let rows = sqlx::query(
            "select pins.*, people.name, sessions.group_id, sessions.day, sessions.slot from pins
             left join people on people.id = pins.person_id left join sessions on sessions.id = pins.session_id
             order by pins.id desc",
        )
        .fetch_all(&self.read)
        .await?;
        rows.iter()
            .map(|row| {
                let day: Option<String> = row.try_get("day")?;
                let place = match day {
                    Some(day) => Some((row.try_get("group_id")?, super::weeks::day(&day)?, row.try_get("slot")?)),
                    None => None,
                };
                Ok(KeptPin { pin: pin(row)?, name: row.try_get("name")?, place })
            })
            .collect()
    }

    /// Whether the coach chose a line for this member alone.
    pub(crate) async fn is_pinned(&self, person: PersonId) -> Result<bool, StoreError> {
        Ok(sqlx::query_scalar("select exists (select 1 from pins where person_id = $1)")
            .bind(person)
            .fetch_one(&self.read)
            .await?)
    }
}
