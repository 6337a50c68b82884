//! Orders as lists show them, and searching them.

use crate::database::Store;
use crate::error::StoreError;
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, AssertSqlSafe, Row as _};

/// An order as a list shows it; follows from the order and its plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// The order.
    pub id: String,
    /// Its number, for sorting.
    pub number: i64,
    /// Who ordered.
    pub customer: String,
    /// What it is called.
    pub name: String,
    /// When it is due, `2026-12-18T17:00:00`.
    pub due: String,
    /// What it waits for, as a word.
    pub stage: String,
    /// Whether anything is left to do.
    pub open: bool,
    /// Garments in it.
    pub pieces: i64,
    /// Net price in minor units, when planned.
    pub net: Option<i64>,
    /// By when somebody must act, `2026-12-01T14:00:00`.
    pub act_by: Option<String>,
    /// What it waits for, as a word, once the moment to act by has passed.
    pub after_act: String,
    /// What it waits for, as a word, once it is due.
    pub after_due: String,
    /// Everything it can be found by, in lower case.
    pub words: String,
}

impl Listed {
    /// What it waits for at a moment, `2026-12-18T17:00:00`.
    pub fn stage_at(&self, now: &str) -> &str {
        if self.due.as_str() < now {
            &self.after_due
        } else if self.act_by.as_deref().is_some_and(|by| by < now) {
            &self.after_act
        } else {
            &self.stage
        }
    }
}

/// [`Listed::stage_at`] for the moment `$1`.
const STAGE_AT: &str = "CASE WHEN due < $1 THEN after_due WHEN act_by < $1 THEN after_act ELSE stage END";

/// Which orders are wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sieve {
    /// Only those that hold every one of these words.
    pub text: String,
    /// Only those that wait for this now.
    pub stage: Option<String>,
    /// The moment that counts as now, `2026-12-18T17:00:00`; empty before all time.
    pub now: String,
    /// Only those with something left to do.
    pub open_only: bool,
    /// Only those due from the first moment to the second, both included.
    pub due: Option<(String, String)>,
    /// At most so many.
    pub most: i64,
    /// So many are passed over first.
    pub skip: i64,
}

impl Default for Sieve {
    fn default() -> Self {
        Self { text: String::new(), stage: None, now: String::new(), open_only: false, due: None, most: 200, skip: 0 }
    }
}

impl Store {
    /// Orders that pass the sieve: open ones first, by due date, then by number.
    pub fn list(&self, sieve: &Sieve) -> Result<Vec<Listed>, StoreError> {
        // Four words narrow any list; a fifth is as good as none.
        let words: Vec<String> = sieve.text.to_lowercase().split_whitespace().take(4).map(pattern).collect();
        let rows = self.read(async |db| {
            // Only what is asked for stands in the query, so that the index on the list's order is read
            // no further than the rows wanted.
            let mut asked = vec![if sieve.open_only { "open = 1" } else { "open >= 0" }.to_owned()];
            let mut next = 4;
            if sieve.stage.is_some() {
                asked.push(format!("{STAGE_AT} = ${next}"));
                next += 1;
            }
            for _ in &words {
                asked.push(format!("words LIKE ${next} ESCAPE '!'"));
                next += 1;
            }
            let due: Vec<&String> = sieve.due.iter().flat_map(|(from, to)| [from, to]).collect();
            if !due.is_empty() {
                asked.push(format!("due >= ${next} AND due <= ${}", next + 1));
            }
            let query = format!(
                "SELECT id, number, customer, name, due, stage, open, pieces, net, act_by, words, after_act, after_due \
                 FROM listed WHERE {} AND $1 = $1 ORDER BY open DESC, due, number LIMIT $2 OFFSET $3",
                asked.join(" AND ")
            );
            let mut query =
                sqlx::query(AssertSqlSafe(query)).bind(&sieve.now).bind(sieve.most.max(0)).bind(sieve.skip.max(0));
            for text in sieve.stage.iter().chain(&words).chain(due) {
                query = query.bind(text);
            }
            Ok(query.fetch_all(db).await?)
        })?;
        rows.iter().map(listed).collect()
    }

    /// Replaces the list of orders; it follows from orders and plans and can be made anew from them.
    pub fn relist(&self, all: &[Listed]) -> Result<(), StoreError> {
        self.write(async |db| {
            sqlx::query("DELETE FROM listed").execute(&mut *db).await?;
            for one in all {
                show(db, one).await?;
            }
            Ok(())
        })
    }

    /// How many open orders wait for what at the moment `now`, by its word.
    pub fn stages(&self, now: &str) -> Result<Vec<(String, i64)>, StoreError> {
        let rows = self.read(async |db| {
            let query = format!(
                "SELECT at, COUNT(*) FROM (SELECT {STAGE_AT} AS at FROM listed WHERE open = 1) AS open \
                 GROUP BY at ORDER BY at"
            );
            Ok(sqlx::query(AssertSqlSafe(query)).bind(now).fetch_all(db).await?)
        })?;
        rows.iter().map(|row| Ok((row.try_get(0)?, row.try_get(1)?))).collect()
    }
}

/// A word found anywhere; what LIKE would take for a sign stands for itself.
fn pattern(word: &str) -> String {
    let mut out = String::from("%");
    for c in word.chars() {
        if matches!(c, '%' | '_' | '!') {
            out.push('!');
        }
        out.push(c);
    }
    out.push('%');
    out
}

fn listed(row: &AnyRow) -> Result<Listed, StoreError> {
    let open: i64 = row.try_get(6)?;
    Ok(Listed {
        id: row.try_get(0)?,
        number: row.try_get(1)?,
        customer: row.try_get(2)?,
        name: row.try_get(3)?,
        due: row.try_get(4)?,
        stage: row.try_get(5)?,
        open: open != 0,
        pieces: row.try_get(7)?,
        net: row.try_get(8)?,
        act_by: row.try_get(9)?,
        words: row.try_get(10)?,
        after_act: row.try_get(11)?,
        after_due: row.try_get(12)?,
    })
}

pub(crate) async fn show(db: &mut AnyConnection, of: &Listed) -> Result<(), StoreError> {
    forget(db, &of.id).await?;
    let query = "INSERT INTO listed (id, number, customer, name, due, stage, open, pieces, net, act_by, words, \
                 after_act, after_due) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)";
    sqlx::query(query)
        .bind(&of.id)
        .bind(of.number)
        .bind(&of.customer)
        .bind(&of.name)
        .bind(&of.due)
        .bind(&of.stage)
        .bind(i64::from(of.open))
        .bind(of.pieces)
        .bind(of.net)
        .bind(of.act_by.as_deref())
        .bind(&of.words)
        .bind(&of.after_act)
        .bind(&of.after_due)
        .execute(&mut *db)
        .await?;
    Ok(())
}

pub(crate) async fn forget(db: &mut AnyConnection, id: &str) -> Result<(), StoreError> {
    sqlx::query("DELETE FROM listed WHERE id = $1").bind(id).execute(&mut *db).await?;
    Ok(())
}
