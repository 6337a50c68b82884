//! Long work as jobs: put in, taken by one worker at a time, alive as long as
//! its beat goes on, finished together with what it changes.
//!
//! A worker that dies stops beating. Others notice by their own steady clocks
//! that a beat has not moved (no time of day is compared, so that a clock set
//! back or two machines that disagree do no harm) and put the job back. Each
//! taking has its number; a worker that lost its job cannot finish it.

use crate::database::Store;
use crate::digest;
use crate::error::StoreError;
use crate::record::{self, Guard, Stamp, Write};
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row as _};

/// Where a job stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum JobState {
    /// Nobody has taken it.
    Waiting,
    /// A worker has it.
    Running,
    /// Done.
    Done,
    /// Given up, with the reason in its result.
    Failed,
    /// Called off.
    CalledOff,
}

impl JobState {
    pub(crate) const ALL: [Self; 5] = [Self::Waiting, Self::Running, Self::Done, Self::Failed, Self::CalledOff];

    /// The word it is kept under.
    pub fn word(self) -> &'static str {
        match self {
            Self::Waiting => "waiting",
            Self::Running => "running",
            Self::Done => "done",
            Self::Failed => "failed",
            Self::CalledOff => "called-off",
        }
    }

    /// Whether nothing more will happen to it.
    pub fn ended(self) -> bool {
        matches!(self, Self::Done | Self::Failed | Self::CalledOff)
    }
}

/// A job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Job {
    /// Its name.
    pub id: String,
    /// What it is about: of one topic only one waits at a time.
    pub topic: String,
    /// What is to be done, as the desk wrote it.
    pub body: String,
    /// Where it stands.
    pub state: JobState,
    /// How often it was taken.
    pub attempt: i64,
    /// Who has or had it.
    pub worker: String,
    /// How far it is, as the worker wrote it.
    pub progress: String,
    /// What came of it.
    pub result: String,
    /// When it was put in, milliseconds since the beginning of 1970, UTC.
    pub made_ms: i64,
}

/// The beat of a running job.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Running {
    /// The job.
    pub id: String,
    /// Its taking.
    pub attempt: i64,
    /// Its last beat.
    pub beat: i64,
}

/// What a worker hears when it beats.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Told {
    /// Go on.
    GoOn,
    /// Somebody called it off.
    Stop,
    /// It is no longer this worker's.
    Lost,
}

/// A job that was taken so often without being finished is given up.
const MOST_TAKINGS: i64 = 5;

const COLUMNS: &str = "SELECT id, topic, body, state, attempt, worker, progress, result, made FROM job";

impl Store {
    /// Puts a job in; one of the same topic that still waits is renewed instead. Answers with its name.
    pub fn put_in(&self, id: &str, topic: &str, body: &str, stamp: &Stamp) -> Result<String, StoreError> {
        self.write(async |db| {
            let place = record::next(db, "job").await?;
            let query = "SELECT id, place FROM job WHERE topic = $1 AND state = 'waiting'";
            if let Some(row) = sqlx::query(query).bind(topic).fetch_optional(&mut *db).await? {
                let known: String = row.try_get(0)?;
                let query = "UPDATE job SET body = $1, made = $2, digest = $3 WHERE id = $4";
                let digest = digest::of_job(&known, row.try_get(1)?, topic, body, stamp.at_ms);
                sqlx::query(query).bind(body).bind(stamp.at_ms).bind(digest).bind(&known).execute(&mut *db).await?;
                return Ok(known);
            }
            let query = "INSERT INTO job (id, place, topic, body, state, attempt, worker, beat, stop, progress, \
                         result, made, digest) VALUES ($1, $2, $3, $4, 'waiting', 0, '', 0, 0, '', '', $5, $6)";
            let query = sqlx::query(query).bind(id).bind(place).bind(topic).bind(body).bind(stamp.at_ms);
            query.bind(digest::of_job(id, place, topic, body, stamp.at_ms)).execute(&mut *db).await?;
            Ok(id.to_owned())
        })
    }

    /// Takes the job that waits longest.
    pub fn take_job(&self, worker: &str) -> Result<Option<Job>, StoreError> {
        // Looking costs no writing transaction, so that idle workers disturb nobody.
        let waiting = self.read(async |db| {
            Ok(sqlx::query("SELECT id FROM job WHERE state = 'waiting' LIMIT 1").fetch_optional(db).await?.is_some())
        })?;
        if !waiting {
            return Ok(None);
        }
        let postgres = self.is_postgres();
        self.write(async |db| {
            let query = if postgres {
                "SELECT id, attempt FROM job WHERE state = 'waiting' ORDER BY place LIMIT 1 FOR UPDATE SKIP LOCKED"
            } else {
                "SELECT id, attempt FROM job WHERE state = 'waiting' ORDER BY place LIMIT 1"
            };
            let Some(row) = sqlx::query(query).fetch_optional(&mut *db).await? else { return Ok(None) };
            let (id, attempt): (String, i64) = (row.try_get(0)?, row.try_get(1)?);
            if attempt >= MOST_TAKINGS {
                let query = "UPDATE job SET state = 'failed', result = $1 WHERE id = $2";
                let reason = format!("taken {attempt} times and never finished");
                sqlx::query(query).bind(reason).bind(&id).execute(&mut *db).await?;
                return Ok(None);
            }
            let query = "UPDATE job SET state = 'running', attempt = attempt + 1, worker = $1, beat = beat + 1, \
                         stop = 0, progress = '' WHERE id = $2 AND state = 'waiting'";
            sqlx::query(query).bind(worker).bind(&id).execute(&mut *db).await?;
            find(db, &id).await
        })
    }

    /// Says that the worker is alive and how far it is.
    pub fn beat(&self, job: &Job, progress: &str) -> Result<Told, StoreError> {
        self.write(async |db| {
            let query = "UPDATE job SET beat = beat + 1, progress = $1 \
                         WHERE id = $2 AND attempt = $3 AND state = 'running' RETURNING stop";
            let row = sqlx::query(query).bind(progress).bind(&job.id).bind(job.attempt).fetch_optional(db).await?;
            match row {
                None => Ok(Told::Lost),
                Some(row) => Ok(if row.try_get::<i64, _>(0)? == 0 { Told::GoOn } else { Told::Stop }),
            }
        })
    }

    /// Ends a job together with all it changes, in one transaction. Bytes are kept before:
    /// they do no harm where the job was lost, and are not written again.
    ///
    /// [`StoreError::JobLost`] when it is no longer this worker's: then nothing is kept.
    pub fn finish_job(
        &self,
        job: &Job,
        result: &str,
        stamp: &Stamp,
        guards: &[Guard],
        writes: &[Write],
    ) -> Result<Vec<i64>, StoreError> {
        self.write(async |db| {
            end(db, job, JobState::Done, result).await?;
            record::apply(db, stamp, guards, writes).await
        })
    }

    /// Gives a job up, with the reason.
    pub fn fail_job(&self, job: &Job, reason: &str) -> Result<(), StoreError> {
        self.write(async |db| end(db, job, JobState::Failed, reason).await)
    }

    /// Confirms that a job that was called off has stopped.
    pub fn stopped_job(&self, job: &Job) -> Result<(), StoreError> {
        self.write(async |db| end(db, job, JobState::CalledOff, "").await)
    }

    /// Calls a job off: a waiting one at once, a running one at its next beat.
    pub fn call_off(&self, id: &str) -> Result<(), StoreError> {
        self.write(async |db| {
            let query = "UPDATE job SET state = 'called-off' WHERE id = $1 AND state = 'waiting'";
            let waiting = sqlx::query(query).bind(id).execute(&mut *db).await?.rows_affected();
            if waiting == 0 {
                let query = "UPDATE job SET stop = 1 WHERE id = $1 AND state = 'running'";
                sqlx::query(query).bind(id).execute(&mut *db).await?;
            }
            Ok(())
        })
    }

    /// Puts a job back whose beat has stood still since `seen`; `false` when it moved.
    pub fn put_back(&self, seen: &Running) -> Result<bool, StoreError> {
        self.write(async |db| {
            let query = "UPDATE job SET state = CASE WHEN stop = 1 THEN 'called-off' ELSE 'waiting' END, worker = '' \
                         WHERE id = $1 AND attempt = $2 AND beat = $3 AND state = 'running'";
            let done = sqlx::query(query).bind(&seen.id).bind(seen.attempt).bind(seen.beat).execute(db).await?;
            Ok(done.rows_affected() == 1)
        })
    }

    /// Every running job with its beat.
    pub fn running(&self) -> Result<Vec<Running>, StoreError> {
        let rows = self.read(async |db| {
            let query = "SELECT id, attempt, beat FROM job WHERE state = 'running' ORDER BY id";
            Ok(sqlx::query(query).fetch_all(db).await?)
        })?;
        rows.iter()
            .map(|row| Ok(Running { id: row.try_get(0)?, attempt: row.try_get(1)?, beat: row.try_get(2)? }))
            .collect()
    }

    /// A job by its name.
    pub fn job(&self, id: &str) -> Result<Option<Job>, StoreError> {
        self.read(async |db| find(db, id).await)
    }

    /// The latest job about a topic.
    pub fn job_about(&self, topic: &str) -> Result<Option<Job>, StoreError> {
        let row = self.read(async |db| {
            let query = sqlx::AssertSqlSafe(format!("{COLUMNS} WHERE topic = $1 ORDER BY place DESC LIMIT 1"));
            Ok(sqlx::query(query).bind(topic).fetch_optional(db).await?)
        })?;
        row.as_ref().map(job).transpose()
    }

    /// The latest jobs, newest first, at most `most`.
    pub fn jobs(&self, most: i64) -> Result<Vec<Job>, StoreError> {
        let rows = self.read(async |db| {
            let query = "SELECT id, topic, body, state, attempt, worker, progress, result, made FROM job \
                         ORDER BY place DESC LIMIT $1";
            Ok(sqlx::query(query).bind(most).fetch_all(db).await?)
        })?;
        rows.iter().map(job).collect()
    }
}

async fn end(db: &mut AnyConnection, job: &Job, state: JobState, result: &str) -> Result<(), StoreError> {
    let query = "UPDATE job SET state = $1, result = $2 WHERE id = $3 AND attempt = $4 AND state = 'running'";
    let done =
        sqlx::query(query).bind(state.word()).bind(result).bind(&job.id).bind(job.attempt).execute(&mut *db).await?;
    if done.rows_affected() == 1 { Ok(()) } else { Err(StoreError::JobLost { job: job.id.clone() }) }
}

async fn find(db: &mut AnyConnection, id: &str) -> Result<Option<Job>, StoreError> {
    let query = sqlx::AssertSqlSafe(format!("{COLUMNS} WHERE id = $1"));
    let row = sqlx::query(query).bind(id).fetch_optional(&mut *db).await?;
    row.as_ref().map(job).transpose()
}

fn job(row: &AnyRow) -> Result<Job, StoreError> {
    let word: String = row.try_get(3)?;
    let state = JobState::ALL.into_iter().find(|state| state.word() == word);
    Ok(Job {
        id: row.try_get(0)?,
        topic: row.try_get(1)?,
        body: row.try_get(2)?,
        state: state.ok_or_else(|| StoreError::Damaged { cause: format!("a job that is “{word}”") })?,
        attempt: row.try_get(4)?,
        worker: row.try_get(5)?,
        progress: row.try_get(6)?,
        result: row.try_get(7)?,
        made_ms: row.try_get(8)?,
    })
}
