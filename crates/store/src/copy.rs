//! Copying a whole shop: backup while it is in use, restore, moving between databases.

use crate::blob::hash_of;
use crate::database::{Place, Store};
use crate::error::StoreError;
use crate::record::{self, Change, Write};
use crate::schema::TABLES;
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, AssertSqlSafe, Row as _};

/// Rows read at once; bytes are read one by one.
const ROWS: i64 = 500;

impl Store {
    /// Copies everything as it is at one moment into a new shop at `to`, while
    /// others go on working. Checks every file's bytes on the way.
    ///
    /// Where it fails, a half-made file is removed.
    pub fn copy_to(&self, to: &Place) -> Result<(), StoreError> {
        let target = Self::make(to)?;
        let done = self.snapshot(async |from| {
            let mut whole = Vec::new();
            for (table, columns) in TABLES {
                whole.push((table, copy_table(from, &target, table, columns).await?));
            }
            Ok(whole)
        });
        match done {
            Ok(_) => Ok(()),
            Err(error) => {
                drop(target);
                if let Place::File(path) = to {
                    // It is of no use to anybody; what went wrong is told either way.
                    let _ = std::fs::remove_file(path);
                }
                Err(error)
            }
        }
    }

    /// Takes the changes of another shop as they were made, by whom and when;
    /// this shop must be empty, and `holds` says which files a change refers to.
    /// The list of orders is to be made anew afterwards.
    pub fn replay(&self, changes: &[Change], holds: impl Fn(&Change) -> Vec<String>) -> Result<(), StoreError> {
        self.write(async |db| {
            let row = sqlx::query("SELECT COUNT(*) FROM record").fetch_one(&mut *db).await?;
            if row.try_get::<i64, _>(0)? > 0 {
                return Err(StoreError::Occupied { place: self.place().shown() });
            }
            for change in changes {
                // Numbers begin at 1 here; what was undone keeps its neighbour.
                let place = |seq: i64| changes.iter().position(|known| known.seq == seq);
                let undoes = change.undoes.and_then(place).and_then(|at| i64::try_from(at).ok()).map(|at| at + 1);
                let write = Write {
                    kind: change.kind,
                    id: change.id.clone(),
                    on_version: change.version.saturating_sub(1),
                    body: change.body.clone(),
                    what: change.what.clone(),
                    undoes,
                    holds: holds(change),
                    listed: None,
                };
                record::apply(db, &change.stamp, &[], &[write]).await?;
            }
            for kind in [record::Kind::Order, record::Kind::Evidence, record::Kind::Stock] {
                let of_kind = changes.iter().filter(|change| change.kind == kind);
                let last = of_kind.filter_map(|change| change.id.parse::<i64>().ok()).max().unwrap_or(0);
                let query = "UPDATE counter SET value = $1 WHERE name = $2";
                sqlx::query(query).bind(last).bind(kind.word()).execute(&mut *db).await?;
            }
            Ok(())
        })
    }
}

async fn copy_table(
    from: &mut AnyConnection,
    to: &Store,
    table: &'static str,
    columns: &'static str,
) -> Result<i64, StoreError> {
    let rows = if table == "blob" { 1 } else { ROWS };
    let key = match table {
        "change" => "seq",
        "record" => "kind, id",
        "holds" => "kind, id, hash",
        "slip" => "kind, id",
        "blob" => "hash",
        "listed" | "job" | "link_of" => "id",
        _ => "name",
    };
    let count = columns.split(", ").count();
    let places: Vec<String> = (1..=count).map(|at| format!("${at}")).collect();
    let insert = match table {
        // A new shop has its counters already.
        "counter" => "UPDATE counter SET value = $2 WHERE name = $1".to_owned(),
        _ => format!("INSERT INTO {table} ({columns}) VALUES ({})", places.join(", ")),
    };
    let mut done = 0_i64;
    loop {
        let select = format!("SELECT {columns} FROM {table} ORDER BY {key} LIMIT {rows} OFFSET {done}");
        let read = sqlx::query(AssertSqlSafe(select)).fetch_all(&mut *from).await?;
        if read.is_empty() {
            return Ok(done);
        }
        done = done.saturating_add(i64::try_from(read.len()).unwrap_or(0));
        to.put_rows(table, &insert, count, &read).await?;
    }
}

impl Store {
    async fn put_rows(&self, table: &str, insert: &str, count: usize, rows: &[AnyRow]) -> Result<(), StoreError> {
        let mut db = self.writer().await?;
        let mut whole = sqlx::Connection::begin(&mut *db).await?;
        for row in rows {
            let mut query = sqlx::query(AssertSqlSafe(insert.to_owned()));
            for at in 0..count {
                query = match (table, at) {
                    ("blob", 2) => {
                        let bytes: Vec<u8> = row.try_get(at)?;
                        let hash: String = row.try_get(0)?;
                        if hash_of(&bytes) != hash {
                            return Err(StoreError::Damaged { cause: format!("the bytes of {hash}") });
                        }
                        query.bind(bytes)
                    }
                    _ if number(table, at) => query.bind(row.try_get::<Option<i64>, _>(at)?),
                    _ => query.bind(row.try_get::<Option<String>, _>(at)?),
                };
            }
            query.execute(&mut *whole).await?;
        }
        whole.commit().await?;
        Ok(())
    }
}

/// Whether a column holds whole numbers.
fn number(table: &str, at: usize) -> bool {
    match table {
        "counter" | "blob" => at == 1,
        "record" => matches!(at, 2 | 4),
        "change" => matches!(at, 0 | 3 | 4 | 7),
        "listed" => matches!(at, 1 | 6 | 7 | 8),
        "job" => matches!(at, 1 | 5 | 7 | 8 | 11),
        "slip" => at == 3,
        _ => false,
    }
}
