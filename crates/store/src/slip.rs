//! Slips: short-lived notes such as sessions; without history, not exported.

use crate::database::Store;
use crate::error::StoreError;
use sqlx::Row as _;

/// A note with an end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slip {
    /// What it is, `session`.
    pub kind: String,
    /// Its name; for secrets their hash, never the secret.
    pub id: String,
    /// What it says.
    pub body: String,
    /// When it ends, milliseconds since the beginning of 1970, UTC.
    pub ends_ms: i64,
}

impl Store {
    /// Keeps a slip in place of one of the same kind and name.
    pub fn put_slip(&self, slip: &Slip) -> Result<(), StoreError> {
        self.write(async |db| {
            let query = "INSERT INTO slip (kind, id, body, ends) VALUES ($1, $2, $3, $4) \
                         ON CONFLICT (kind, id) DO UPDATE SET body = excluded.body, ends = excluded.ends";
            sqlx::query(query)
                .bind(&slip.kind)
                .bind(&slip.id)
                .bind(&slip.body)
                .bind(slip.ends_ms)
                .execute(&mut *db)
                .await?;
            Ok(())
        })
    }

    /// A slip that has not ended at `now_ms`.
    pub fn slip(&self, kind: &str, id: &str, now_ms: i64) -> Result<Option<Slip>, StoreError> {
        let row = self.read(async |db| {
            let query = "SELECT body, ends FROM slip WHERE kind = $1 AND id = $2 AND ends > $3";
            Ok(sqlx::query(query).bind(kind).bind(id).bind(now_ms).fetch_optional(db).await?)
        })?;
        row.map(|row| {
            Ok(Slip { kind: kind.to_owned(), id: id.to_owned(), body: row.try_get(0)?, ends_ms: row.try_get(1)? })
        })
        .transpose()
    }

    /// Takes a slip away so that nobody can use it again; `None` when it was gone or had ended.
    pub fn take_slip(&self, kind: &str, id: &str, now_ms: i64) -> Result<Option<Slip>, StoreError> {
        self.write(async |db| {
            let query = "DELETE FROM slip WHERE kind = $1 AND id = $2 RETURNING body, ends";
            let row = sqlx::query(query).bind(kind).bind(id).fetch_optional(&mut *db).await?;
            let Some(row) = row else { return Ok(None) };
            let slip =
                Slip { kind: kind.to_owned(), id: id.to_owned(), body: row.try_get(0)?, ends_ms: row.try_get(1)? };
            Ok((slip.ends_ms > now_ms).then_some(slip))
        })
    }

    /// Clears slips that have ended.
    pub fn clear_slips(&self, now_ms: i64) -> Result<(), StoreError> {
        self.write(async |db| {
            sqlx::query("DELETE FROM slip WHERE ends <= $1").bind(now_ms).execute(&mut *db).await?;
            Ok(())
        })
    }
}
