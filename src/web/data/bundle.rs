//! Everything of one person in one file: JSON for programs, CSV for people.

use super::export::{self, Private, instant};
use super::sheet;
use crate::store::decisions::{Decided, Decision};
use crate::store::maxes::MaxSource;
use crate::store::people::Person;
use crate::store::results::Exported;
use crate::training::calendar;
use crate::web::App;
use crate::web::error::Error;
use serde_json::{Value, json};
use std::io::Write;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

const README: &str = "Everything that Dowel keeps of one person.\r\n\r\n\
    everything.json  all of it, for programs; times are UTC\r\n\
    results.csv      what was logged, taken back or not, with notes and what hurt\r\n\
    past.csv         results from before Dowel\r\n\
    maxes.csv        known maxes\r\n\
    questions.csv    questions and reports, with answers\r\n\r\n\
    Of passwords, sign-ins and tokens Dowel keeps hashes, of passkeys public keys, which are not in here. Where and when you signed in, and what\r\n\
    your tokens may do, stands in everything.json.\r\n";

fn how(source: MaxSource) -> &'static str {
    if source == MaxSource::Estimated { "estimated" } else { "tested" }
}

fn result(e: &Exported, edits: &[crate::store::results::ResultEdit]) -> Value {
    let r = &e.result;
    let part = e.session.parts.get(r.part).map(|p| p.name.clone());
    json!({
        "id": r.id, "group": e.group, "session_day": calendar::iso(e.day), "session": e.session.title, "part_name": part,
        "logged": r.logged, "logged_at": instant(r.created_at), "changed_at": instant(r.updated_at),
        "withdrawn_at": r.withdrawn_at.map(instant),
        "earlier": edits.iter().map(|x| json!({
            "replaced_at": instant(x.edited_at), "by": x.by, "reason": x.reason, "before": x.before,
            "taken_back_at": x.taken_back_at.map(instant), "came_late": x.late,
        })).collect::<Vec<_>>(),
    })
}

fn decision(d: &Decision) -> Value {
    let (decided, kept_out) = match &d.decided {
        Decided::Train => ("train", None),
        Decided::KeepOut(kept) => ("keep out", Some(kept)),
        Decided::Hold => ("hold", None),
    };
    json!({
        "words": d.words, "decided": decided, "kept_out": kept_out, "said_to_you": d.said, "at": instant(d.at), "by": d.by,
        "ended": d.ended,
    })
}

/// Everything as JSON.
async fn everything(app: &App, person: &Person, results: &[Exported]) -> Result<Value, Error> {
    let mut logged = Vec::with_capacity(results.len());
    for e in results {
        logged.push(result(e, &app.store.edits_of(e.result.id).await?));
    }
    let groups = app.store.groups_of(person.id).await?;
    let wishes = app.store.wishes_of(person.id).await?;
    let wishes: Vec<Value> = wishes
        .iter()
        .flat_map(|(session, said)| said.iter().map(move |w| json!({ "session": session, "part": w.part, "line": w.line, "movement": w.movement, "said": w.wish.key() })))
        .collect();
    Ok(json!({
        "person": {
            "name": person.name, "sign_in": person.sign_in, "nickname": person.nickname, "zone": person.zone.name(),
            "units": person.units, "level": person.level, "load_column": person.load_column, "kit": person.kit,
            "kit_checked_at": person.kit_checked_at.map(instant), "avoid": person.avoid,
            "note_to_coach": app.store.private_note(person.id).await?, "shown_on_boards": person.shown,
            "cautions_version": person.cautions_version, "cautions_at": person.cautions_at.map(instant),
            "joined_at": instant(person.created_at), "left_at": person.left_at.map(instant),
        },
        "groups": groups.iter().map(|g| &g.name).collect::<Vec<_>>(),
        "results": logged,
        "past_results": app.store.past_results(person.id).await?,
        "maxes": app.store.maxes_of(person.id).await?.iter().map(|m| json!({
            "movement": m.movement, "kg": m.kg, "how": how(m.source), "day": calendar::iso(m.day),
        })).collect::<Vec<_>>(),
        "questions": app.store.questions_of(person.id).await?.iter().map(|q| json!({
            "pain": q.pain, "text": q.text, "asked_at": instant(q.asked_at), "answer": q.answer.as_ref().map(|a| &a.text),
            "about_day": q.about.as_ref().map(|a| calendar::iso(a.day)), "shared": q.shared,
        })).collect::<Vec<_>>(),
        "said_at_lines": wishes,
        "tokens": app.store.tokens_of(person.id).await?.iter().map(|t| json!({
            "name": t.name, "scopes": t.scopes, "made_at": instant(t.created_at), "until": instant(t.expires_at),
            "last_used_at": t.used_at.map(instant),
        })).collect::<Vec<_>>(),
        "beside": beside(app, person).await?,
    }))
}

/// What is kept of a person beside what they wrote themselves.
async fn beside(app: &App, person: &Person) -> Result<Value, Error> {
    let store = &app.store;
    let ms = |at: i64| instant(crate::store::instant(at));
    Ok(json!({
        "devices": store.devices(person.id, &[0; 32], app.clock.now()).await?.iter().map(|d| json!({
            "browser": d.agent, "signed_in_at": instant(d.created_at), "last_used_at": instant(d.seen_at),
        })).collect::<Vec<_>>(),
        "passkeys": store.passkeys_of(person.id).await?.iter().map(|k| json!({
            "name": k.name, "made_at": instant(k.created_at()), "last_used_at": k.used_at().map(instant),
        })).collect::<Vec<_>>(),
        "password_links": store.links_of(person.id).await?.iter().map(|l| json!({
            "made_at": ms(l.created_at), "until": ms(l.expires_at), "used_at": l.used_at.map(ms),
        })).collect::<Vec<_>>(),
        "nods": store.nods_of(person.id).await?.iter().map(|n| json!({
            "result": n.result, "yours": n.given, "at": instant(n.at),
        })).collect::<Vec<_>>(),
        "chosen_for_you": store.pins_of(person.id).await?.iter().map(|p| json!({
            "session": p.session_id, "movement": p.movement, "purpose": p.intent, "at": ms(p.created_at),
            "becomes": serde_json::from_str::<Value>(&p.becomes).unwrap_or_default(),
        })).collect::<Vec<_>>(),
        "decided_about_your_words": store.decisions_of(person.id).await?.iter().map(decision).collect::<Vec<_>>(),
        "spoken_with_at": store.spoken_with(person.id).await?.map(instant),
        "trail": store.trail_of(person.id).await?.iter().map(|t| json!({
            "at": instant(t.at), "by_you": t.own, "what": t.act, "detail": t.detail,
        })).collect::<Vec<_>>(),
    }))
}

async fn tables(app: &App, person: &Person, results: &[Exported]) -> Result<Vec<(&'static str, String)>, Error> {
    let all = Private { notes: true, pain: true };
    let past = app.store.past_results(person.id).await?;
    let past = past.iter().map(|p| {
        let kind = serde_json::to_value(p.kind).ok().and_then(|k| k.as_str().map(str::to_owned)).unwrap_or_default();
        vec![
            person.sign_in.clone(),
            calendar::iso(p.day),
            p.title.clone(),
            kind,
            p.score_text.clone(),
            p.note.clone(),
            p.movement.clone().unwrap_or_default(),
            p.beside.clone(),
        ]
    });
    let maxes = app.store.maxes_of(person.id).await?;
    let maxes = maxes.iter().map(|m| vec![m.movement.clone(), m.kg.to_string(), how(m.source).to_owned(), calendar::iso(m.day)]);
    let questions = app.store.questions_of(person.id).await?;
    let questions = questions.iter().map(|q| {
        let answer = q.answer.as_ref().map(|a| a.text.clone()).unwrap_or_default();
        vec![instant(q.asked_at), if q.pain { "pain" } else { "question" }.to_owned(), q.text.clone(), answer]
    });
    Ok(vec![
        ("results.csv", export::results_table(results, person.units, all)?),
        ("past.csv", sheet::csv(&["person", "date", "title", "kind", "score", "note", "movement", "beside"], past)?),
        ("maxes.csv", sheet::csv(&["movement", "kg", "how", "day"], maxes)?),
        ("questions.csv", sheet::csv(&["asked_at", "kind", "text", "answer"], questions)?),
    ])
}

fn zip(files: &[(&str, String)]) -> Result<Vec<u8>, Error> {
    let broken = |e: zip::result::ZipError| Error::Internal(e.into());
    let mut out = ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(zip::CompressionMethod::Deflated);
    for (name, text) in files {
        out.start_file(*name, options).map_err(broken)?;
        out.write_all(text.as_bytes()).map_err(|e| Error::Internal(e.into()))?;
    }
    Ok(out.finish().map_err(broken)?.into_inner())
}

/// Everything of a person, zipped.
///
/// # Errors
/// Only the store's own.
pub async fn of(app: &App, person: &Person) -> Result<Vec<u8>, Error> {
    let results = app.store.all_results_of(person.id).await?;
    let all = everything(app, person, &results).await?;
    let json = serde_json::to_string_pretty(&all).map_err(|e| Error::Internal(e.into()))?;
    let mut files = vec![("README.txt", README.to_owned()), ("everything.json", json)];
    files.extend(tables(app, person, &results).await?);
    zip(&files)
}
