//! Digests over rows: a byte that changed on the disk is told, whatever the
//! database itself makes of it.

use crate::blob::hash_of;
use crate::error::StoreError;
use sqlx::{AnyConnection, Row as _};

/// What a digest is taken over, in the order given; `None` differs from an empty text.
pub(crate) enum Part<'a> {
    Text(&'a str),
    Number(i64),
    Nothing,
}

impl<'a> From<&'a str> for Part<'a> {
    fn from(text: &'a str) -> Self {
        Self::Text(text)
    }
}

impl<'a> From<Option<&'a str>> for Part<'a> {
    fn from(text: Option<&'a str>) -> Self {
        text.map_or(Self::Nothing, Self::Text)
    }
}

impl From<i64> for Part<'_> {
    fn from(number: i64) -> Self {
        Self::Number(number)
    }
}

impl From<Option<i64>> for Part<'_> {
    fn from(number: Option<i64>) -> Self {
        number.map_or(Self::Nothing, Self::Number)
    }
}

/// The digest of a row; lengths stand before texts, so that no two rows read alike.
pub(crate) fn digest(parts: &[Part<'_>]) -> String {
    let mut all = Vec::new();
    for part in parts {
        match part {
            Part::Text(text) => {
                all.extend_from_slice(format!("t{}:", text.len()).as_bytes());
                all.extend_from_slice(text.as_bytes());
            }
            Part::Number(number) => all.extend_from_slice(format!("n{number};").as_bytes()),
            Part::Nothing => all.push(b'-'),
        }
    }
    hash_of(&all)
}

/// A row of `record`.
pub(crate) fn of_record(kind: &str, id: &str, version: i64, body: Option<&str>, made: i64, author: &str) -> String {
    digest(&[kind.into(), id.into(), version.into(), body.into(), made.into(), author.into()])
}

/// What a job is about; how it goes changes with every beat and is not covered.
pub(crate) fn of_job(id: &str, place: i64, topic: &str, body: &str, made: i64) -> String {
    digest(&[id.into(), place.into(), topic.into(), body.into(), made.into()])
}

/// Gives every row of a database of an earlier build its digest.
pub(crate) async fn fill(db: &mut AnyConnection) -> Result<(), StoreError> {
    let rows = sqlx::query("SELECT kind, id, version, body, made, author FROM record").fetch_all(&mut *db).await?;
    for row in rows {
        let (kind, id): (String, String) = (row.try_get(0)?, row.try_get(1)?);
        let (body, author): (Option<String>, String) = (row.try_get(3)?, row.try_get(5)?);
        let digest = of_record(&kind, &id, row.try_get(2)?, body.as_deref(), row.try_get(4)?, &author);
        let query = "UPDATE record SET digest = $1 WHERE kind = $2 AND id = $3";
        sqlx::query(query).bind(digest).bind(kind).bind(id).execute(&mut *db).await?;
    }
    let mut after = 0_i64;
    loop {
        let query = "SELECT seq, kind, id, version, made, author, what, undoes, body FROM change \
                     WHERE seq > $1 ORDER BY seq LIMIT 500";
        let rows = sqlx::query(query).bind(after).fetch_all(&mut *db).await?;
        if rows.is_empty() {
            break;
        }
        for row in &rows {
            let change = crate::record::change(row)?;
            let query = "UPDATE change SET digest = $1 WHERE seq = $2";
            sqlx::query(query).bind(change.digest()).bind(change.seq).execute(&mut *db).await?;
            after = change.seq;
        }
    }
    let rows = sqlx::query("SELECT id, place, topic, body, made FROM job").fetch_all(&mut *db).await?;
    for row in rows {
        let (id, topic, body): (String, String, String) = (row.try_get(0)?, row.try_get(2)?, row.try_get(3)?);
        let digest = of_job(&id, row.try_get(1)?, &topic, &body, row.try_get(4)?);
        sqlx::query("UPDATE job SET digest = $1 WHERE id = $2").bind(digest).bind(id).execute(&mut *db).await?;
    }
    Ok(())
}
