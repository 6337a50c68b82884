//! Customers' links by the order they lead to, so that an order's links are found without reading all.
//!
//! Follows from the records of the links and is written with them.

use crate::database::Store;
use crate::error::StoreError;
use crate::form::LinkForm;
use crate::record::{self, Record};
use sqlx::{AnyConnection, Row as _};

impl Store {
    /// The links that lead to an order, those taken back included, by name.
    pub fn links_of(&self, order: &str) -> Result<Vec<Record<LinkForm>>, StoreError> {
        let rows = self.read(async |db| {
            let query = "SELECT record.id, version, made, author, body, digest FROM link_of JOIN record \
                         ON record.kind = 'link' AND record.id = link_of.id WHERE link_of.about = $1 ORDER BY record.id";
            Ok(sqlx::query(query).bind(order).fetch_all(db).await?)
        })?;
        rows.iter().filter_map(|row| record::record(row).transpose()).collect()
    }
}

/// Notes where a link leads, as its record says from now on.
pub(crate) async fn note(db: &mut AnyConnection, id: &str, body: Option<&str>) -> Result<(), StoreError> {
    sqlx::query("DELETE FROM link_of WHERE id = $1").bind(id).execute(&mut *db).await?;
    // A text that is no link is told by whoever reads the record.
    if let Some(form) = body.and_then(|body| serde_json::from_str::<LinkForm>(body).ok()) {
        let query = "INSERT INTO link_of (id, about) VALUES ($1, $2)";
        sqlx::query(query).bind(id).bind(form.order).execute(&mut *db).await?;
    }
    Ok(())
}

/// Notes every link of a database of an earlier build.
pub(crate) async fn fill(db: &mut AnyConnection) -> Result<(), StoreError> {
    let query = "SELECT id, body FROM record WHERE kind = 'link'";
    for row in sqlx::query(query).fetch_all(&mut *db).await? {
        let (id, body): (String, Option<String>) = (row.try_get(0)?, row.try_get(1)?);
        note(db, &id, body.as_deref()).await?;
    }
    Ok(())
}
