//! Records and their history: the one way in which a change is made.

use crate::database::Store;
use crate::digest;
use crate::error::StoreError;
use crate::link;
use crate::list::{self, Listed};
use serde::Serialize;
use serde::de::DeserializeOwned;
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row as _};

/// What a record is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// An order.
    Order,
    /// A file of the shop.
    ShopFile,
    /// The plan of an order, or of several planned together.
    Plan,
    /// What was seen of a transfer on a cloth.
    Evidence,
    /// Something on hand.
    Stock,
    /// A person who signs in.
    Account,
    /// A link by which a customer sees one quote.
    Link,
}

impl Kind {
    /// All of them.
    pub const ALL: [Self; 7] =
        [Self::Order, Self::ShopFile, Self::Plan, Self::Evidence, Self::Stock, Self::Account, Self::Link];

    /// The word it is kept under.
    pub fn word(self) -> &'static str {
        match self {
            Self::Order => "order",
            Self::ShopFile => "shop-file",
            Self::Plan => "plan",
            Self::Evidence => "evidence",
            Self::Stock => "stock",
            Self::Account => "account",
            Self::Link => "link",
        }
    }

    /// The kind of a word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }
}

/// A form that is kept as a record.
pub trait Kept: Serialize + DeserializeOwned {
    /// What it is.
    const KIND: Kind;

    /// Hashes of the bytes that belong to it; each must be kept already.
    fn holds(&self) -> Vec<String> {
        Vec::new()
    }
}

/// Who does something and when, as the caller says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp {
    /// Milliseconds since the beginning of 1970, UTC.
    pub at_ms: i64,
    /// Who.
    pub by: String,
}

/// A record as it is kept now.
#[derive(Debug, Clone, PartialEq)]
pub struct Record<T> {
    /// Its name.
    pub id: String,
    /// How often it was changed; a change must name it.
    pub version: i64,
    /// When it was changed last.
    pub stamp: Stamp,
    /// What it says.
    pub body: T,
}

/// One change to be made.
#[derive(Debug, Clone, PartialEq)]
pub struct Write {
    /// What is changed.
    pub kind: Kind,
    /// Its name.
    pub id: String,
    /// The version it is made on; 0 for something new.
    pub on_version: i64,
    /// The new text; `None` removes it.
    pub body: Option<String>,
    /// What is done, in a few words.
    pub what: String,
    /// The change that is undone by this one.
    pub undoes: Option<i64>,
    /// Hashes of the bytes it refers to.
    pub holds: Vec<String>,
    /// How an order appears in lists from now on.
    pub listed: Option<Listed>,
}

impl Write {
    /// A change to a typed record.
    ///
    /// Fails only where the form cannot be written as text.
    pub fn of<T: Kept>(id: &str, on_version: i64, body: &T, what: &str) -> Result<Self, StoreError> {
        let text = serde_json::to_string(body).map_err(|error| StoreError::Other { cause: error.to_string() })?;
        Ok(Self {
            kind: T::KIND,
            id: id.to_owned(),
            on_version,
            body: Some(text),
            what: what.to_owned(),
            undoes: None,
            holds: body.holds(),
            listed: None,
        })
    }

    /// The removal of a record; its history stays.
    pub fn removal(kind: Kind, id: &str, on_version: i64, what: &str) -> Self {
        Self {
            kind,
            id: id.to_owned(),
            on_version,
            body: None,
            what: what.to_owned(),
            undoes: None,
            holds: Vec::new(),
            listed: None,
        }
    }

    /// With the order's appearance in lists.
    #[must_use]
    pub fn listed(mut self, listed: Listed) -> Self {
        self.listed = Some(listed);
        self
    }
}

/// What must still be so for changes to be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Guard {
    /// What.
    pub kind: Kind,
    /// Its name.
    pub id: String,
    /// Its version; 0 when there must be none.
    pub version: i64,
}

/// A change as it was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// Its number among all changes of the shop, from 1 without a gap.
    pub seq: i64,
    /// What was changed.
    pub kind: Kind,
    /// Its name.
    pub id: String,
    /// The version it made.
    pub version: i64,
    /// Who and when.
    pub stamp: Stamp,
    /// What was done.
    pub what: String,
    /// The change that it undid.
    pub undoes: Option<i64>,
    /// The text after it; `None`: removed. The text before is that of the version before.
    pub body: Option<String>,
}

impl Change {
    /// Its digest, over all of its row.
    pub(crate) fn digest(&self) -> String {
        digest::digest(&[
            self.seq.into(),
            self.kind.word().into(),
            self.id.as_str().into(),
            self.version.into(),
            self.stamp.at_ms.into(),
            self.stamp.by.as_str().into(),
            self.what.as_str().into(),
            self.undoes.into(),
            self.body.as_deref().into(),
        ])
    }
}

impl Store {
    /// The next number of a series, `order`; never given twice.
    pub fn number(&self, series: &str) -> Result<i64, StoreError> {
        self.write(async |db| next(db, series).await)
    }

    /// Makes all these changes, or none; answers with their new versions.
    ///
    /// A conflict when a guard no longer holds or a record has another version.
    pub fn change(&self, stamp: &Stamp, guards: &[Guard], writes: &[Write]) -> Result<Vec<i64>, StoreError> {
        self.write(async |db| apply(db, stamp, guards, writes).await)
    }

    /// A record; `None` when there is none or it was removed.
    pub fn get<T: Kept>(&self, id: &str) -> Result<Option<Record<T>>, StoreError> {
        let row = self.read(async |db| {
            let query = "SELECT id, version, made, author, body, digest FROM record WHERE kind = $1 AND id = $2";
            Ok(sqlx::query(query).bind(T::KIND.word()).bind(id).fetch_optional(db).await?)
        })?;
        Ok(row.as_ref().map(record).transpose()?.flatten())
    }

    /// Every record of a kind, by name.
    pub fn all<T: Kept>(&self) -> Result<Vec<Record<T>>, StoreError> {
        let rows = self.read(async |db| {
            let query = "SELECT id, version, made, author, body, digest FROM record WHERE kind = $1 \
                         AND body IS NOT NULL ORDER BY id";
            Ok(sqlx::query(query).bind(T::KIND.word()).fetch_all(db).await?)
        })?;
        rows.iter().filter_map(|row| record(row).transpose()).collect()
    }

    /// The version of a record, removed ones included; 0 when there never was one.
    pub fn version(&self, kind: Kind, id: &str) -> Result<i64, StoreError> {
        self.read(async |db| Ok(kept_version(db, kind, id).await?.map_or(0, |(version, _)| version)))
    }

    /// What was ever done to a record, the oldest first.
    pub fn history(&self, kind: Kind, id: &str) -> Result<Vec<Change>, StoreError> {
        let rows = self.read(async |db| {
            let query = "SELECT seq, kind, id, version, made, author, what, undoes, body FROM change \
                         WHERE kind = $1 AND id = $2 ORDER BY version";
            Ok(sqlx::query(query).bind(kind.word()).bind(id).fetch_all(db).await?)
        })?;
        rows.iter().map(change).collect()
    }

    /// How many changes were ever made.
    pub fn count_changes(&self) -> Result<i64, StoreError> {
        self.read(async |db| Ok(sqlx::query("SELECT COUNT(*) FROM change").fetch_one(db).await?.try_get(0)?))
    }

    /// Changes of the whole shop after number `after`, the oldest first, at most `most`.
    pub fn changes(&self, after: i64, most: i64) -> Result<Vec<Change>, StoreError> {
        let rows = self.read(async |db| {
            let query = "SELECT seq, kind, id, version, made, author, what, undoes, body FROM change \
                         WHERE seq > $1 ORDER BY seq LIMIT $2";
            Ok(sqlx::query(query).bind(after).bind(most).fetch_all(db).await?)
        })?;
        rows.iter().map(change).collect()
    }
}

/// The next number of a series. In PostgreSQL its row is held until the end of
/// the transaction, so that writers pass one after the other and none can lock
/// another out.
pub(crate) async fn next(db: &mut AnyConnection, series: &str) -> Result<i64, StoreError> {
    let query = "UPDATE counter SET value = value + 1 WHERE name = $1 RETURNING value";
    let row = sqlx::query(query).bind(series).fetch_optional(&mut *db).await?;
    match row {
        Some(row) => Ok(row.try_get(0)?),
        None => Err(StoreError::Missing { what: format!("series {series}") }),
    }
}

/// Makes the changes within the caller's transaction.
pub(crate) async fn apply(
    db: &mut AnyConnection,
    stamp: &Stamp,
    guards: &[Guard],
    writes: &[Write],
) -> Result<Vec<i64>, StoreError> {
    // The counter of changes is taken first, so that in PostgreSQL too nobody
    // changes anything between the guards and the writing.
    let first = match writes.len() {
        0 => 0,
        many => take_many(db, i64::try_from(many).unwrap_or(i64::MAX)).await?,
    };
    for guard in guards {
        let found = kept_version(db, guard.kind, &guard.id).await?;
        if found.as_ref().map_or(0, |(version, _)| *version) != guard.version {
            return Err(conflict(guard.kind, &guard.id, guard.version, found));
        }
    }
    let mut versions = Vec::with_capacity(writes.len());
    for (write, seq) in writes.iter().zip(first..) {
        versions.push(apply_one(db, stamp, write, seq).await?);
    }
    Ok(versions)
}

/// The first of so many further numbers of changes.
async fn take_many(db: &mut AnyConnection, many: i64) -> Result<i64, StoreError> {
    let query = "UPDATE counter SET value = value + $1 WHERE name = 'change' RETURNING value";
    let last: i64 = sqlx::query(query).bind(many).fetch_one(&mut *db).await?.try_get(0)?;
    Ok(last.saturating_sub(many).saturating_add(1))
}

fn conflict(kind: Kind, id: &str, expected: i64, found: Option<(i64, String)>) -> StoreError {
    let (found, by) = found.unwrap_or((0, "nobody".to_owned()));
    StoreError::Conflict { what: format!("{} {id}", kind.word()), expected, found, by }
}

async fn apply_one(db: &mut AnyConnection, stamp: &Stamp, write: &Write, seq: i64) -> Result<i64, StoreError> {
    let version = put(db, stamp, write).await?;
    let change = Change {
        seq,
        kind: write.kind,
        id: write.id.clone(),
        version,
        stamp: stamp.clone(),
        what: write.what.clone(),
        undoes: write.undoes,
        body: write.body.clone(),
    };
    let query = "INSERT INTO change (seq, kind, id, version, made, author, what, undoes, body, digest) \
                 VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)";
    sqlx::query(query)
        .bind(seq)
        .bind(write.kind.word())
        .bind(&write.id)
        .bind(version)
        .bind(stamp.at_ms)
        .bind(&stamp.by)
        .bind(&write.what)
        .bind(write.undoes)
        .bind(write.body.as_deref())
        .bind(change.digest())
        .execute(&mut *db)
        .await?;
    hold(db, write.kind, &write.id, &write.holds).await?;
    if write.kind == Kind::Order && write.body.is_none() {
        list::forget(db, &write.id).await?;
    }
    if write.kind == Kind::Link {
        link::note(db, &write.id, write.body.as_deref()).await?;
    }
    if let Some(listed) = &write.listed {
        list::show(db, listed).await?;
    }
    Ok(version)
}

/// Puts the record in place when it still has the expected version.
async fn put(db: &mut AnyConnection, stamp: &Stamp, write: &Write) -> Result<i64, StoreError> {
    let conflict = |found| conflict(write.kind, &write.id, write.on_version, found);
    let version = write.on_version.saturating_add(1);
    let (kind, body) = (write.kind.word(), write.body.as_deref());
    let digest = digest::of_record(kind, &write.id, version, body, stamp.at_ms, &stamp.by);
    if write.on_version == 0 {
        let query = "INSERT INTO record (kind, id, version, body, made, author, digest) \
                     VALUES ($1, $2, 1, $3, $4, $5, $6) ON CONFLICT (kind, id) DO NOTHING";
        let done = sqlx::query(query)
            .bind(write.kind.word())
            .bind(&write.id)
            .bind(write.body.as_deref())
            .bind(stamp.at_ms)
            .bind(&stamp.by)
            .bind(&digest)
            .execute(&mut *db)
            .await?;
        return match done.rows_affected() {
            1 => Ok(1),
            _ => Err(conflict(kept_version(db, write.kind, &write.id).await?)),
        };
    }
    let query = "UPDATE record SET version = version + 1, body = $1, made = $2, author = $3, digest = $7 \
                 WHERE kind = $4 AND id = $5 AND version = $6";
    let done = sqlx::query(query)
        .bind(write.body.as_deref())
        .bind(stamp.at_ms)
        .bind(&stamp.by)
        .bind(write.kind.word())
        .bind(&write.id)
        .bind(write.on_version)
        .bind(&digest)
        .execute(&mut *db)
        .await?;
    match done.rows_affected() {
        1 => Ok(version),
        _ => Err(conflict(kept_version(db, write.kind, &write.id).await?)),
    }
}

async fn kept_version(db: &mut AnyConnection, kind: Kind, id: &str) -> Result<Option<(i64, String)>, StoreError> {
    let query = "SELECT version, author FROM record WHERE kind = $1 AND id = $2";
    let row = sqlx::query(query).bind(kind.word()).bind(id).fetch_optional(&mut *db).await?;
    row.map(|row| Ok((row.try_get(0)?, row.try_get(1)?))).transpose()
}

async fn hold(db: &mut AnyConnection, kind: Kind, id: &str, hashes: &[String]) -> Result<(), StoreError> {
    for hash in hashes {
        let query = "INSERT INTO holds (kind, id, hash) VALUES ($1, $2, $3) ON CONFLICT (kind, id, hash) DO NOTHING";
        sqlx::query(query).bind(kind.word()).bind(id).bind(hash).execute(&mut *db).await?;
    }
    Ok(())
}

pub(crate) fn record<T: Kept>(row: &AnyRow) -> Result<Option<Record<T>>, StoreError> {
    let id: String = row.try_get(0)?;
    let (version, stamp) = (row.try_get(1)?, Stamp { at_ms: row.try_get(2)?, by: row.try_get(3)? });
    let body: Option<String> = row.try_get(4)?;
    let digest: String = row.try_get(5)?;
    if digest != digest::of_record(T::KIND.word(), &id, version, body.as_deref(), stamp.at_ms, &stamp.by) {
        return Err(StoreError::Damaged { cause: format!("{} {id} is not what was put in", T::KIND.word()) });
    }
    let Some(body) = body else { return Ok(None) };
    let body = serde_json::from_str(&body)
        .map_err(|error| StoreError::Damaged { cause: format!("{} {id}: {error}", T::KIND.word()) })?;
    Ok(Some(Record { id, version, stamp, body }))
}

pub(crate) fn change(row: &AnyRow) -> Result<Change, StoreError> {
    let word: String = row.try_get(1)?;
    let kind =
        Kind::of_word(&word).ok_or_else(|| StoreError::Damaged { cause: format!("a change of “{word}”") })?;
    Ok(Change {
        seq: row.try_get(0)?,
        kind,
        id: row.try_get(2)?,
        version: row.try_get(3)?,
        stamp: Stamp { at_ms: row.try_get(4)?, by: row.try_get(5)? },
        what: row.try_get(6)?,
        undoes: row.try_get(7)?,
        body: row.try_get(8)?,
    })
}
