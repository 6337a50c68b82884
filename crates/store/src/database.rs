//! Opening a database, and the two ways to use it: reading and writing.

use crate::error::StoreError;
use crate::schema::{self, SCHEMA};
use sqlx::any::{AnyConnectOptions, AnyPoolOptions};
use sqlx::pool::PoolConnection;
use sqlx::{Any, AnyConnection, AnyPool, ConnectOptions as _, Connection as _, Executor as _};
use std::future::Future;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::str::FromStr as _;
use std::time::Duration;
use tokio::runtime::Runtime;

/// Where a shop is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// One SQLite file.
    File(PathBuf),
    /// A PostgreSQL database by its address, `postgres://…`.
    Server(String),
}

impl Place {
    /// The place for people: a path, or the server's address without its password.
    pub fn shown(&self) -> String {
        match self {
            Self::File(path) => path.display().to_string(),
            Self::Server(address) => match (address.split_once("://"), address.rsplit_once('@')) {
                (Some((scheme, _)), Some((_, host))) => format!("{scheme}://…@{host}"),
                _ => address.clone(),
            },
        }
    }
}

/// How long a program waits for another that writes.
const PATIENCE: Duration = Duration::from_secs(10);
/// How long a hand waits in its own program's queue of writers, which moves all the time: a hundred hands on a
/// machine that is busy with something else must not be sent away.
const QUEUE: Duration = Duration::from_mins(1);
/// Connections to a server that write: changes pass one after the other all the same, but a large file on its way
/// does not hold them up.
const WRITERS: u32 = 2;
/// Connections that read side by side.
const READERS: u32 = 4;

/// An open shop. May be used from several threads; calls block.
#[derive(Debug)]
pub struct Store {
    place: Place,
    // `None` only while it is being taken down.
    runtime: Option<Runtime>,
    readers: AnyPool,
    // One writer at a time within a program: SQLite lets no more in, and so they
    // queue in order instead of racing for the lock.
    writers: AnyPool,
    options: AnyConnectOptions,
    postgres: bool,
}

impl Store {
    /// Makes a new, empty shop.
    ///
    /// Refuses a place where one is kept already.
    pub fn make(place: &Place) -> Result<Self, StoreError> {
        Self::make_in_form(place, SCHEMA)
    }

    /// Makes a shop as the build of an earlier form did.
    fn make_in_form(place: &Place, form: i64) -> Result<Self, StoreError> {
        if let Place::File(path) = place
            && path.exists()
        {
            return Err(StoreError::Occupied { place: place.shown() });
        }
        let store = Self::connect(place, true)?;
        let postgres = store.postgres;
        store.write(async |db| match schema::found(db, postgres).await? {
            0 => schema::raise(db, postgres, 0, form).await,
            _ => Err(StoreError::Occupied { place: place.shown() }),
        })?;
        if let Place::File(path) = place {
            sync_folder(path);
        }
        Ok(store)
    }

    /// Opens a shop; one of an earlier build is brought to this build's form.
    ///
    /// Refuses a place where none is kept, and one of a later build.
    pub fn open(place: &Place) -> Result<Self, StoreError> {
        if let Place::File(path) = place
            && !path.exists()
        {
            return Err(StoreError::NotMade { place: place.shown() });
        }
        if let Place::File(path) = place {
            look_at_head(path)?;
        }
        let store = Self::connect(place, false).map_err(|error| read_only_else(place, error))?;
        let postgres = store.postgres;
        let found = store.read(async |db| schema::found(db, postgres).await);
        match found.map_err(|error| read_only_else(place, error))? {
            0 => Err(StoreError::NotMade { place: place.shown() }),
            SCHEMA => Ok(store),
            found if found > SCHEMA => Err(StoreError::Newer { found, known: SCHEMA }),
            _ => {
                store.write(async |db| {
                    // Another program may have been quicker.
                    let found = schema::found(db, postgres).await?;
                    if found < SCHEMA { schema::raise(db, postgres, found, SCHEMA).await } else { Ok(()) }
                })?;
                Ok(store)
            }
        }
    }

    /// Where it is kept.
    pub fn place(&self) -> &Place {
        &self.place
    }

    /// Whether several stations can share it.
    pub fn shared(&self) -> bool {
        self.postgres
    }

    fn connect(place: &Place, new: bool) -> Result<Self, StoreError> {
        sqlx::any::install_default_drivers();
        let postgres = matches!(place, Place::Server(_));
        let away = |cause: std::io::Error| StoreError::Away { cause: cause.to_string() };
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(1)
            .thread_name("store")
            .enable_all()
            .build()
            .map_err(away)?;
        let address = match place {
            Place::Server(address) if asks_for_tls(address) => return Err(StoreError::Unencrypted),
            Place::Server(address) => address.clone(),
            Place::File(path) => {
                if let Some(folder) = path.parent().filter(|folder| new && !folder.as_os_str().is_empty()) {
                    std::fs::create_dir_all(folder).map_err(away)?;
                }
                format!("sqlite://{}?mode={}", escaped(path), if new { "rwc" } else { "rw" })
            }
        };
        let options = AnyConnectOptions::from_str(&address)?.disable_statement_logging();
        let pool = |most: u32, patience: Duration| {
            AnyPoolOptions::new()
                .max_connections(most)
                .acquire_timeout(patience)
                .after_connect(move |db, _| Box::pin(set_up(db, postgres)))
                .connect_lazy_with(options.clone())
        };
        let (readers, writers) = {
            let _within = runtime.enter();
            (pool(READERS, PATIENCE), pool(if postgres { WRITERS } else { 1 }, QUEUE))
        };
        let store = Self { place: place.clone(), runtime: Some(runtime), readers, writers, options, postgres };
        // What is wrong is said now and exactly; a pool would only try until its patience ends.
        store.wait(store.probe())?;
        Ok(store)
    }

    /// Runs reading work on one connection.
    pub(crate) fn read<T>(
        &self,
        work: impl AsyncFnOnce(&mut AnyConnection) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        self.wait(async {
            let mut db = self.connection(&self.readers).await?;
            work(&mut db).await
        })
    }

    /// Runs reading work that sees one and the same moment throughout.
    pub(crate) fn snapshot<T>(
        &self,
        work: impl AsyncFnOnce(&mut AnyConnection) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let begin = if self.postgres { "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY" } else { "BEGIN" };
        self.wait(async {
            let mut db = self.connection(&self.readers).await?;
            let value = {
                let mut whole = db.begin_with(begin).await?;
                let value = work(&mut whole).await;
                let ended = whole.rollback().await;
                value.and_then(|value| Ok(ended.map(|()| value)?))
            };
            if value.is_err() {
                db.close_on_drop();
            }
            value
        })
    }

    /// Runs writing work in one transaction, begun as a writing one; all of it is
    /// kept when this returns, or nothing.
    pub(crate) fn write<T>(
        &self,
        work: impl AsyncFnOnce(&mut AnyConnection) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let begin = if self.postgres { "BEGIN" } else { "BEGIN IMMEDIATE" };
        self.wait(async {
            let mut db = self.connection(&self.writers).await?;
            let (value, ended) = {
                let mut whole = db.begin_with(begin).await?;
                match work(&mut whole).await {
                    Ok(value) => match whole.commit().await {
                        Ok(()) => (Ok(value), true),
                        Err(error) => (Err(error.into()), false),
                    },
                    // What is wrong is told, not what undoing says.
                    Err(error) => (Err(error), whole.rollback().await.is_ok()),
                }
            };
            if !ended {
                // A full or failing disk ends a transaction by itself, and the connection
                // would take the next one for a part of it: a new connection takes its place.
                db.close_on_drop();
            }
            value
        })
    }

    pub(crate) fn wait<T>(&self, work: impl Future<Output = Result<T, StoreError>>) -> Result<T, StoreError> {
        match &self.runtime {
            Some(runtime) => runtime.block_on(work),
            None => Err(StoreError::Away { cause: "it was closed".to_owned() }),
        }
    }

    /// The connection that writes, for work that takes several transactions.
    pub(crate) async fn writer(&self) -> Result<PoolConnection<Any>, StoreError> {
        self.connection(&self.writers).await
    }

    /// A connection of a pool, or why there is none.
    async fn connection(&self, pool: &AnyPool) -> Result<PoolConnection<Any>, StoreError> {
        match pool.acquire().await {
            Ok(db) => Ok(db),
            Err(sqlx::Error::PoolTimedOut) => {
                self.probe().await?;
                Err(StoreError::Busy)
            }
            Err(error) => Err(error.into()),
        }
    }

    /// Whether the database can be reached at all.
    async fn probe(&self) -> Result<(), StoreError> {
        let mut db = AnyConnection::connect_with(&self.options).await?;
        set_up(&mut db, self.postgres).await?;
        Ok(db.close().await?)
    }

    pub(crate) fn is_postgres(&self) -> bool {
        self.postgres
    }
}

impl Drop for Store {
    fn drop(&mut self) {
        if let Some(runtime) = self.runtime.take() {
            // A thread of its own: inside another runtime waiting is not allowed.
            std::thread::scope(|scope| {
                scope.spawn(|| {
                    runtime.block_on(async {
                        self.writers.close().await;
                        self.readers.close().await;
                    });
                });
            });
            runtime.shutdown_background();
        }
    }
}

/// Whether a file begins as an SQLite database does (sqlite.org/fileformat2.html,
/// section 1.3). SQLite itself would take a short file for an empty database.
fn look_at_head(path: &Path) -> Result<(), StoreError> {
    const HEAD: &[u8] = b"SQLite format 3\0";
    let mut head = Vec::new();
    let read = std::fs::File::open(path).and_then(|file| file.take(HEAD.len() as u64).read_to_end(&mut head));
    match read {
        Err(error) => Err(StoreError::Away { cause: error.to_string() }),
        Ok(_) if head == HEAD => Ok(()),
        Ok(_) => Err(StoreError::Damaged { cause: "it does not begin as an SQLite database does".to_owned() }),
    }
}

/// SQLite says only that it cannot open a file where it may not write beside it.
fn read_only_else(place: &Place, error: StoreError) -> StoreError {
    let Place::File(path) = place else { return error };
    let writable = std::fs::OpenOptions::new().append(true).open(path);
    match writable.err().map(|error| error.kind()) {
        Some(std::io::ErrorKind::ReadOnlyFilesystem | std::io::ErrorKind::PermissionDenied) => StoreError::ReadOnly,
        _ => error,
    }
}

async fn set_up(db: &mut AnyConnection, postgres: bool) -> Result<(), sqlx::Error> {
    if postgres {
        db.execute("SET synchronous_commit = on").await?;
        db.execute("SET lock_timeout = '30s'").await?;
        return Ok(());
    }
    // The patience comes first: the next line may already have to wait for another program.
    db.execute("PRAGMA busy_timeout = 10000").await?;
    db.execute("PRAGMA journal_mode = WAL").await?;
    db.execute("PRAGMA synchronous = FULL").await?;
    db.execute("PRAGMA foreign_keys = ON").await?;
    Ok(())
}

/// Whether an address insists on TLS (`sslmode` of the PostgreSQL manual, section 34.1.2): said before anything is
/// sent to a server that may not answer at all.
fn asks_for_tls(address: &str) -> bool {
    let asked = address.split_once('?').map_or("", |(_, asked)| asked);
    asked.split('&').filter_map(|pair| pair.split_once('=')).any(|(key, value)| {
        matches!(key, "sslmode" | "ssl-mode")
            && ["require", "verify-ca", "verify-full"].iter().any(|wish| value.eq_ignore_ascii_case(wish))
    })
}

/// A path within an address: everything but plain characters as %XX.
fn escaped(path: &Path) -> String {
    let mut out = String::new();
    for byte in path.as_os_str().as_encoded_bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'/' | b'-' | b'_' | b'.' => out.push(char::from(*byte)),
            _ => out.push_str(&format!("%{byte:02X}")),
        }
    }
    out
}

/// A new file's name is kept once its folder is written; where that cannot be asked for, the system does it later.
fn sync_folder(path: &Path) {
    if let Some(folder) = path.parent()
        && let Ok(folder) = std::fs::File::open(if folder.as_os_str().is_empty() { Path::new(".") } else { folder })
    {
        let _ = folder.sync_all();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::form::ShopFileForm;
    use crate::{Slip, Stamp, Write};

    /// What an earlier build kept is there in this one, with what is new in it.
    #[test]
    fn a_shop_of_an_earlier_build_opens() {
        let home = tempfile::tempdir().expect("a folder");
        let place = Place::File(home.path().join("a shop & more.db"));
        let stamp = Stamp { at_ms: 1, by: "Ines".to_owned() };
        let file = ShopFileForm { text: "version = 1".to_owned() };
        for form in 1..SCHEMA {
            let old = Store::make_in_form(&place, form).expect("made");
            if form < 3 {
                old.write(async |db| as_an_earlier_build_did(db).await).expect("kept");
            } else {
                let write = Write::of("shop.toml", 0, &file, "put in").expect("a form");
                old.change(&stamp, &[], &[write]).expect("kept");
            }
            old.write(async |db| a_link_of_an_earlier_build(db, form).await).expect("kept");
            drop(old);
            let new = Store::open(&place).expect("opened");
            let links = new.links_of("7").expect("read");
            assert_eq!(links.iter().map(|link| link.id.as_str()).collect::<Vec<_>>(), ["l"], "form {form}");
            assert_eq!(new.links_of("8").expect("read"), []);
            assert_eq!(new.get::<ShopFileForm>("shop.toml").expect("read").expect("there").body, file);
            new.put_slip(&Slip { kind: "session".into(), id: "x".into(), body: String::new(), ends_ms: 9 })
                .expect("new in this form");
            let write = Write::of("shop.toml", 1, &file, "again").expect("a form");
            new.change(&stamp, &[], &[write]).expect("it goes on where it was");
            assert_eq!(new.check().expect("checked"), []);
            drop(new);
            std::fs::remove_file(home.path().join("a shop & more.db")).expect("removed");
        }
    }

    /// The statements of forms 1 and 2, before rows carried digests.
    async fn as_an_earlier_build_did(db: &mut AnyConnection) -> Result<(), StoreError> {
        for statement in [
            "UPDATE counter SET value = 1 WHERE name = 'change'",
            "INSERT INTO record (kind, id, version, body, made, author) \
             VALUES ('shop-file', 'shop.toml', 1, '{\"text\":\"version = 1\"}', 1, 'Ines')",
            "INSERT INTO change (seq, kind, id, version, made, author, what, undoes, body) \
             VALUES (1, 'shop-file', 'shop.toml', 1, 1, 'Ines', 'put in', NULL, '{\"text\":\"version = 1\"}')",
            "INSERT INTO job (id, place, topic, body, state, attempt, worker, beat, stop, progress, result, made) \
             VALUES ('j', 1, 'plan 1', '', 'waiting', 0, '', 0, 0, '', '', 1)",
        ] {
            db.execute(statement).await?;
        }
        Ok(())
    }

    /// A link as every earlier form kept it: in its record alone.
    async fn a_link_of_an_earlier_build(db: &mut AnyConnection, form: i64) -> Result<(), StoreError> {
        let body = "{\"order\":\"7\",\"made-ms\":1,\"revoked\":false}";
        for statement in [
            "UPDATE counter SET value = value + 1 WHERE name = 'change'",
            "INSERT INTO record (kind, id, version, body, made, author) VALUES ('link', 'l', 1, '{body}', 1, 'Ines')",
            "INSERT INTO change (seq, kind, id, version, made, author, what, undoes, body) \
             VALUES (2, 'link', 'l', 1, 1, 'Ines', 'made', NULL, '{body}')",
        ] {
            db.execute(sqlx::AssertSqlSafe(statement.replace("{body}", body))).await?;
        }
        // Forms with digests carried them from the first row on.
        if form >= 3 { crate::digest::fill(db).await } else { Ok(()) }
    }

    /// A later build may keep what this one does not understand: it is left alone.
    #[test]
    fn a_shop_of_a_later_build_is_refused() {
        let home = tempfile::tempdir().expect("a folder");
        let place = Place::File(home.path().join("shop.db"));
        let store = Store::make(&place).expect("made");
        store.write(async |db| Ok(db.execute("UPDATE bondline SET form = 99").await.map(|_| ())?)).expect("written");
        drop(store);
        let refused = Store::open(&place).expect_err("refused");
        assert_eq!(refused, StoreError::Newer { found: 99, known: SCHEMA });
    }

    /// Modes of the PostgreSQL manual, section 34.1.2: the last three promise encryption, and a build that cannot
    /// keep the promise says so before it sends anything.
    #[test]
    fn encryption_that_is_asked_for_is_never_left_out_in_silence() {
        for (mode, asked) in [
            ("disable", false),
            ("allow", false),
            ("prefer", false),
            ("require", true),
            ("verify-ca", true),
            ("verify-full", true),
        ] {
            let address = format!("postgres://shop@192.0.2.1:1/shop?connect_timeout=1&sslmode={mode}");
            assert_eq!(asks_for_tls(&address), asked, "{mode}");
            if asked {
                assert_eq!(Store::open(&Place::Server(address)).err(), Some(StoreError::Unencrypted));
            }
        }
        assert!(!asks_for_tls("postgres://shop@host/shop"));
    }
}
