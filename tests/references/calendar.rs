//! Source: `dst_checks.csv`, the rule of RFC 5545 section 3.3.5 (of two local times the first; of none the offset before the
//! gap), computed with Python's zoneinfo and confirmed with dateutil.

use dowel::training::calendar::Zone;
use time::macros::format_description;
use time::{OffsetDateTime, PrimitiveDateTime};

fn local(text: &str) -> PrimitiveDateTime {
    PrimitiveDateTime::parse(text, format_description!("[year]-[month]-[day]T[hour]:[minute]:[second]")).unwrap()
}

fn utc(text: &str) -> OffsetDateTime {
    PrimitiveDateTime::parse(text, format_description!("[year][month][day]T[hour][minute][second]Z")).unwrap().assume_utc()
}

#[test]
fn local_times_become_the_right_instants_where_the_clock_changes() {
    let rows = crate::rows(include_str!("data/dst_checks.csv"));
    assert_eq!(rows.len(), 16);
    for row in rows {
        let zone = Zone::named(&row["zone"]).unwrap();
        assert_eq!(zone.instant(local(&row["local"])), utc(&row["utc"]), "{} {}: {}", row["zone"], row["local"], row["kind"]);
    }
}

#[test]
fn an_instant_is_on_the_local_day_that_it_came_from() {
    for row in crate::rows(include_str!("data/dst_checks.csv")) {
        let zone = Zone::named(&row["zone"]).unwrap();
        assert_eq!(zone.day(utc(&row["utc"])), local(&row["local"]).date(), "{} {}", row["zone"], row["local"]);
    }
}
