//! Looking whether all that is kept is what was put in.

use crate::blob::hash_of;
use crate::database::Store;
use crate::digest;
use crate::error::StoreError;
use crate::job::JobState;
use crate::record::{self, Kind};
use sqlx::{AnyConnection, Row as _};

/// One thing that is not as it was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Where.
    pub place: String,
    /// What is wrong.
    pub what: String,
}

impl Store {
    /// Reads everything and answers with all faults; none is found in a shop that is whole.
    ///
    /// Looks at: the database's own structure, the bytes of every file against
    /// their hash, every record, change and job against its digest, every record
    /// against its history, the numbering of changes (a gap is a lost change),
    /// files that records refer to, the list of orders.
    /// Cost: linear in all that is kept.
    pub fn check(&self) -> Result<Vec<Fault>, StoreError> {
        let postgres = self.is_postgres();
        self.snapshot(async |db| {
            let mut faults = Vec::new();
            if !postgres {
                structure(db, &mut faults).await?;
            }
            // What follows can be asked only of a database that can be read.
            let mut told = Vec::new();
            for result in [
                files(db, &mut faults).await,
                records(db, &mut faults).await,
                changes(db, &mut faults).await,
                jobs(db, &mut faults).await,
                numbering(db, &mut faults).await,
                references(db, &mut faults).await,
                orders(db, &mut faults).await,
            ] {
                if let Err(error) = result {
                    told.push(Fault { place: "database".to_owned(), what: error.to_string() });
                }
            }
            faults.extend(told);
            Ok(faults)
        })
    }
}

async fn structure(db: &mut AnyConnection, faults: &mut Vec<Fault>) -> Result<(), StoreError> {
    for row in sqlx::query("PRAGMA integrity_check").fetch_all(&mut *db).await? {
        let said: String = row.try_get(0)?;
        if said != "ok" {
            faults.push(Fault { place: "database".to_owned(), what: said });
        }
    }
    Ok(())
}

async fn files(db: &mut AnyConnection, faults: &mut Vec<Fault>) -> Result<(), StoreError> {
    let hashes = sqlx::query("SELECT hash, size FROM blob ORDER BY hash").fetch_all(&mut *db).await?;
    for row in hashes {
        let (hash, size): (String, i64) = (row.try_get(0)?, row.try_get(1)?);
        let read = sqlx::query("SELECT bytes FROM blob WHERE hash = $1").bind(&hash).fetch_optional(&mut *db).await;
        let place = format!("file {hash}");
        match read.map(|row| row.map(|row| row.try_get::<Vec<u8>, _>(0))) {
            Ok(Some(Ok(bytes))) => {
                if hash_of(&bytes) != hash || i64::try_from(bytes.len()).unwrap_or(-1) != size {
                    faults.push(Fault { place, what: "its bytes are not what was put in".to_owned() });
                }
            }
            Ok(Some(Err(error))) | Err(error) => faults.push(Fault { place, what: error.to_string() }),
            Ok(None) => faults.push(Fault { place, what: "it is listed but not there".to_owned() }),
        }
    }
    Ok(())
}

async fn records(db: &mut AnyConnection, faults: &mut Vec<Fault>) -> Result<(), StoreError> {
    let query = "SELECT r.kind, r.id, r.version, r.body, c.body, c.seq, r.made, r.author, r.digest FROM record r LEFT JOIN change c \
                 ON c.kind = r.kind AND c.id = r.id AND c.version = r.version ORDER BY r.kind, r.id";
    for row in sqlx::query(query).fetch_all(&mut *db).await? {
        let (kind, id, version): (String, String, i64) = (row.try_get(0)?, row.try_get(1)?, row.try_get(2)?);
        let (kept, written): (Option<String>, Option<String>) = (row.try_get(3)?, row.try_get(4)?);
        let place = format!("{kind} {id}");
        let (made, author, digest): (i64, String, String) = (row.try_get(6)?, row.try_get(7)?, row.try_get(8)?);
        if digest != digest::of_record(&kind, &id, version, kept.as_deref(), made, &author) {
            faults.push(Fault { place, what: "it is not what was put in".to_owned() });
        } else if row.try_get::<Option<i64>, _>(5)?.is_none() {
            faults.push(Fault { place, what: format!("its version {version} has no entry in the history") });
        } else if kept != written {
            faults.push(Fault { place, what: "it differs from the last entry of its history".to_owned() });
        } else if Kind::of_word(&kind).is_none() {
            faults.push(Fault { place, what: "its kind is not known here".to_owned() });
        } else if let Some(cause) = kept.as_deref().and_then(|body| crate::form::unreadable(&kind, body)) {
            faults.push(Fault { place, what: format!("it cannot be read: {cause}") });
        }
    }
    Ok(())
}

async fn changes(db: &mut AnyConnection, faults: &mut Vec<Fault>) -> Result<(), StoreError> {
    let mut after = i64::MIN;
    loop {
        let query = "SELECT seq, kind, id, version, made, author, what, undoes, body, digest FROM change \
                     WHERE seq > $1 ORDER BY seq LIMIT 500";
        let rows = sqlx::query(query).bind(after).fetch_all(&mut *db).await?;
        if rows.is_empty() {
            return Ok(());
        }
        for row in &rows {
            after = row.try_get(0)?;
            let digest: String = row.try_get(9)?;
            if record::change(row).map_or(true, |change| change.digest() != digest) {
                faults.push(Fault { place: format!("change {after}"), what: "it is not what was put in".to_owned() });
            }
        }
    }
}

async fn jobs(db: &mut AnyConnection, faults: &mut Vec<Fault>) -> Result<(), StoreError> {
    let query = "SELECT id, place, topic, body, made, digest, state FROM job ORDER BY place";
    for row in sqlx::query(query).fetch_all(&mut *db).await? {
        let (id, topic, body): (String, String, String) = (row.try_get(0)?, row.try_get(2)?, row.try_get(3)?);
        let (digest, state): (String, String) = (row.try_get(5)?, row.try_get(6)?);
        let known = JobState::ALL.iter().any(|known| known.word() == state);
        if !known || digest != digest::of_job(&id, row.try_get(1)?, &topic, &body, row.try_get(4)?) {
            faults.push(Fault { place: format!("job {id}"), what: "it is not what was put in".to_owned() });
        }
    }
    Ok(())
}

async fn numbering(db: &mut AnyConnection, faults: &mut Vec<Fault>) -> Result<(), StoreError> {
    let query = "SELECT COUNT(*), COALESCE(MAX(seq), 0), COALESCE(MIN(seq), 1) FROM change";
    let row = sqlx::query(query).fetch_one(&mut *db).await?;
    let (count, most, least): (i64, i64, i64) = (row.try_get(0)?, row.try_get(1)?, row.try_get(2)?);
    let row = sqlx::query("SELECT value FROM counter WHERE name = 'change'").fetch_one(&mut *db).await?;
    let given: i64 = row.try_get(0)?;
    if count != most || given != most || least != 1 {
        faults.push(Fault {
            place: "history".to_owned(),
            what: format!("{given} changes were made, {count} are there, numbered {least} to {most}"),
        });
    }
    let query = "SELECT kind, id, COUNT(*), MAX(version) FROM change GROUP BY kind, id \
                 HAVING COUNT(*) <> MAX(version)";
    for row in sqlx::query(query).fetch_all(&mut *db).await? {
        let (kind, id): (String, String) = (row.try_get(0)?, row.try_get(1)?);
        faults.push(Fault { place: format!("{kind} {id}"), what: "versions are missing in its history".to_owned() });
    }
    Ok(())
}

async fn references(db: &mut AnyConnection, faults: &mut Vec<Fault>) -> Result<(), StoreError> {
    let query = "SELECT h.kind, h.id, h.hash FROM holds h LEFT JOIN blob b ON b.hash = h.hash WHERE b.hash IS NULL";
    for row in sqlx::query(query).fetch_all(&mut *db).await? {
        let (kind, id, hash): (String, String, String) = (row.try_get(0)?, row.try_get(1)?, row.try_get(2)?);
        faults.push(Fault { place: format!("{kind} {id}"), what: format!("its file {hash} is missing") });
    }
    let query = "SELECT kind, id, body FROM record WHERE body IS NOT NULL AND kind IN ('order', 'plan')";
    for row in sqlx::query(query).fetch_all(&mut *db).await? {
        let (kind, id, body): (String, String, String) = (row.try_get(0)?, row.try_get(1)?, row.try_get(2)?);
        for hash in crate::form::hashes(&kind, &body) {
            let query = "SELECT hash FROM holds WHERE kind = $1 AND id = $2 AND hash = $3";
            let known = sqlx::query(query).bind(&kind).bind(&id).bind(&hash).fetch_optional(&mut *db).await?;
            if known.is_none() {
                faults.push(Fault { place: format!("{kind} {id}"), what: format!("its file {hash} is not held") });
            }
        }
    }
    Ok(())
}

async fn orders(db: &mut AnyConnection, faults: &mut Vec<Fault>) -> Result<(), StoreError> {
    let query = "SELECT r.id FROM record r LEFT JOIN listed l ON l.id = r.id \
                 WHERE r.kind = 'order' AND r.body IS NOT NULL AND l.id IS NULL \
                 UNION SELECT l.id FROM listed l LEFT JOIN record r ON r.kind = 'order' AND r.id = l.id \
                 AND r.body IS NOT NULL WHERE r.id IS NULL";
    for row in sqlx::query(query).fetch_all(&mut *db).await? {
        let id: String = row.try_get(0)?;
        faults.push(Fault { place: format!("order {id}"), what: "the list of orders does not agree".to_owned() });
    }
    Ok(())
}
