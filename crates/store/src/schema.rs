//! The tables, in numbered steps. A step that was shipped is never edited; what
//! changes later is a further step.

use crate::digest;
use crate::error::StoreError;
use crate::link;
use sqlx::{AnyConnection, AssertSqlSafe, Executor as _, Row as _};

/// The newest form of the tables that this build knows.
pub const SCHEMA: i64 = STEPS.len() as i64;

/// `{bytes}` is the database's own type for bytes.
const STEPS: [&[&str]; 5] = [
    &[
        "CREATE TABLE counter (name TEXT PRIMARY KEY, value BIGINT NOT NULL)",
        "CREATE TABLE blob (hash TEXT PRIMARY KEY, size BIGINT NOT NULL, bytes {bytes} NOT NULL)",
        "CREATE TABLE record (kind TEXT NOT NULL, id TEXT NOT NULL, version BIGINT NOT NULL, body TEXT, \
     made BIGINT NOT NULL, author TEXT NOT NULL, PRIMARY KEY (kind, id))",
        "CREATE TABLE change (seq BIGINT PRIMARY KEY, kind TEXT NOT NULL, id TEXT NOT NULL, version BIGINT NOT NULL, \
     made BIGINT NOT NULL, author TEXT NOT NULL, what TEXT NOT NULL, undoes BIGINT, body TEXT, \
     UNIQUE (kind, id, version), FOREIGN KEY (kind, id) REFERENCES record (kind, id))",
        "CREATE TABLE holds (kind TEXT NOT NULL, id TEXT NOT NULL, hash TEXT NOT NULL REFERENCES blob (hash), \
     PRIMARY KEY (kind, id, hash), FOREIGN KEY (kind, id) REFERENCES record (kind, id))",
        "CREATE TABLE listed (id TEXT PRIMARY KEY, number BIGINT NOT NULL, customer TEXT NOT NULL, name TEXT NOT NULL, \
     due TEXT NOT NULL, stage TEXT NOT NULL, open BIGINT NOT NULL, pieces BIGINT NOT NULL, net BIGINT, \
     act_by TEXT, words TEXT NOT NULL)",
        "CREATE INDEX listed_due ON listed (open, due)",
        "CREATE INDEX listed_number ON listed (number)",
        "CREATE TABLE job (id TEXT PRIMARY KEY, place BIGINT NOT NULL, topic TEXT NOT NULL, body TEXT NOT NULL, \
     state TEXT NOT NULL, attempt BIGINT NOT NULL, worker TEXT NOT NULL, beat BIGINT NOT NULL, stop BIGINT NOT NULL, \
     progress TEXT NOT NULL, result TEXT NOT NULL, made BIGINT NOT NULL)",
        "CREATE INDEX job_state ON job (state, place)",
    ],
    &["CREATE TABLE slip (kind TEXT NOT NULL, id TEXT NOT NULL, body TEXT NOT NULL, ends BIGINT NOT NULL, \
     PRIMARY KEY (kind, id))"],
    &[
        "ALTER TABLE record ADD COLUMN digest TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE change ADD COLUMN digest TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE job ADD COLUMN digest TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE listed ADD COLUMN after_act TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE listed ADD COLUMN after_due TEXT NOT NULL DEFAULT ''",
        "UPDATE listed SET after_act = stage, after_due = stage",
    ],
    // Lists are read in their order, and stages told and counted without their rows, however many orders
    // there are.
    &["CREATE INDEX listed_order ON listed (open DESC, due, number, act_by, stage, after_act, after_due)"],
    // The links of an order are found without reading those of all orders.
    &[
        "CREATE TABLE link_of (id TEXT PRIMARY KEY, about TEXT NOT NULL)",
        "CREATE INDEX link_of_about ON link_of (about, id)",
    ],
];

/// Every series of numbers.
const COUNTERS: [&str; 5] = ["change", "order", "job", "evidence", "stock"];

/// The form from which on every row carries its digest.
const DIGESTS: i64 = 3;
/// The form from which on links are found by their order.
const LINKS: i64 = 5;

/// Tables in an order in which rows can be put in, with their columns.
pub(crate) const TABLES: [(&str, &str); 9] = [
    ("counter", "name, value"),
    ("blob", "hash, size, bytes"),
    ("record", "kind, id, version, body, made, author, digest"),
    ("change", "seq, kind, id, version, made, author, what, undoes, body, digest"),
    ("holds", "kind, id, hash"),
    ("listed", "id, number, customer, name, due, stage, open, pieces, net, act_by, words, after_act, after_due"),
    ("job", "id, place, topic, body, state, attempt, worker, beat, stop, progress, result, made, digest"),
    ("slip", "kind, id, body, ends"),
    ("link_of", "id, about"),
];

/// The schema of a database; 0 for an empty one.
pub(crate) async fn found(db: &mut AnyConnection, postgres: bool) -> Result<i64, StoreError> {
    let tables = if postgres {
        "SELECT COUNT(*) FROM information_schema.tables WHERE table_schema = current_schema() \
         AND table_name = 'bondline'"
    } else {
        "SELECT COUNT(*) FROM sqlite_master WHERE type = 'table' AND name = 'bondline'"
    };
    let count: i64 = sqlx::query(tables).fetch_one(&mut *db).await?.try_get(0)?;
    if count == 0 {
        return Ok(0);
    }
    Ok(sqlx::query("SELECT form FROM bondline").fetch_one(&mut *db).await?.try_get(0)?)
}

/// Brings a database from form `from` to form `to`, within the caller's transaction.
pub(crate) async fn raise(db: &mut AnyConnection, postgres: bool, from: i64, to: i64) -> Result<(), StoreError> {
    let bytes = if postgres { "BYTEA" } else { "BLOB" };
    if from == 0 {
        db.execute("CREATE TABLE bondline (form BIGINT NOT NULL)").await?;
        db.execute("INSERT INTO bondline (form) VALUES (0)").await?;
    }
    let [done, all] = [from, to].map(|form| usize::try_from(form).unwrap_or(0));
    for step in STEPS.iter().take(all).skip(done) {
        for statement in *step {
            db.execute(AssertSqlSafe(statement.replace("{bytes}", bytes))).await?;
        }
    }
    if (1..DIGESTS).contains(&from) && to >= DIGESTS {
        digest::fill(db).await?;
    }
    if (1..LINKS).contains(&from) && to >= LINKS {
        link::fill(db).await?;
    }
    for counter in COUNTERS {
        let query = "INSERT INTO counter (name, value) VALUES ($1, 0) ON CONFLICT (name) DO NOTHING";
        sqlx::query(query).bind(counter).execute(&mut *db).await?;
    }
    sqlx::query("UPDATE bondline SET form = $1").bind(to).execute(&mut *db).await?;
    Ok(())
}
