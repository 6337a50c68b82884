//! A PostgreSQL cluster of the tests' own, run by a user without rights; ended
//! when the test program ends.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::{Duration, Instant};

/// A running cluster.
pub struct Server {
    // Its input stays open as long as this program lives; see `run`.
    _keeper: Child,
    home: PathBuf,
    user: String,
    // Addresses it listens on besides its socket.
    listens: String,
}

static SERVER: OnceLock<Option<Server>> = OnceLock::new();
static NEXT: AtomicU32 = AtomicU32::new(0);

/// The address of a fresh database; `None`, said aloud, where PostgreSQL is not
/// installed. With CI=true it must be.
pub fn database() -> Option<String> {
    let server = SERVER.get_or_init(|| start("")).as_ref();
    let Some(server) = server else {
        assert!(std::env::var("CI").as_deref() != Ok("true"), "PostgreSQL must be installed where CI=true");
        let _ = writeln!(std::io::stderr(), "SKIPPED: PostgreSQL is not installed (apt-get install postgresql)");
        return None;
    };
    Some(server.database())
}

/// A server of one test's own, which may be stopped and started.
#[allow(dead_code, reason = "each test program uses its own part of this")]
pub fn own() -> Option<Server> {
    start("")
}

/// The same, reachable from other hosts at an address of this machine.
#[allow(dead_code, reason = "each test program uses its own part of this")]
pub fn own_at(address: &str) -> Option<Server> {
    start(address)
}

#[allow(dead_code, reason = "each test program uses its own part of this")]
impl Server {
    /// The address of a fresh database on it.
    pub fn database(&self) -> String {
        let name = format!("shop{}", NEXT.fetch_add(1, Ordering::Relaxed));
        self.query("postgres", &format!("CREATE DATABASE {name}"));
        self.address(&name)
    }

    /// The address of a fresh database on it, for other hosts.
    pub fn database_from_afar(&self) -> String {
        let near = self.database();
        let name = near.split(['/', '?']).nth(3).expect("a database").to_owned();
        format!("postgres://{}@{}/{name}", self.user, self.listens)
    }

    fn address(&self, database: &str) -> String {
        format!("postgres://{}@localhost/{database}?host={}", self.user, self.home.display())
    }

    /// Runs one statement through psql, PostgreSQL's own client.
    pub fn query(&self, database: &str, statement: &str) -> String {
        let output = Command::new(program("psql").expect("psql"))
            .args(["-X", "-q", "-A", "-t", "-v", "ON_ERROR_STOP=1", "-U", &self.user, "-d", database, "-c", statement])
            .arg("-h")
            .arg(&self.home)
            .output()
            .expect("psql runs");
        assert!(output.status.success(), "{statement}: {}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8_lossy(&output.stdout).trim().to_owned()
    }

    /// Ends the server as a power cut would: at once, without writing anything more.
    pub fn stop(&self) {
        self.control(&["stop", "-m", "immediate"]);
    }

    /// Starts it again after `stop`.
    pub fn start_again(&self) {
        self.control(&[
            "start",
            "-w",
            "-l",
            &self.home.join("log").display().to_string(),
            "-o",
            &options(&self.home, &self.listens),
        ]);
    }

    fn control(&self, args: &[&str]) {
        let done = unprivileged(&program("pg_ctl").expect("pg_ctl"), &self.user)
            .arg("-D")
            .arg(self.home.join("data"))
            .args(args)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status()
            .expect("pg_ctl runs");
        assert!(done.success(), "pg_ctl {args:?}");
    }
}

/// Debian keeps the programs of each version apart from the usual path.
fn program(name: &str) -> Option<PathBuf> {
    let mut folders: Vec<PathBuf> = std::fs::read_dir("/usr/lib/postgresql")
        .map(|entries| entries.flatten().map(|entry| entry.path().join("bin")).collect())
        .unwrap_or_default();
    folders.sort();
    folders.reverse();
    folders.extend(std::env::split_paths(&std::env::var_os("PATH").unwrap_or_default()));
    folders.into_iter().map(|folder| folder.join(name)).find(|path| path.is_file())
}

fn is_root() -> bool {
    std::fs::metadata("/proc/self").is_ok_and(|found| std::os::unix::fs::MetadataExt::uid(&found) == 0)
}

/// The server refuses to run as root: then as the package's own user.
fn unprivileged(path: &Path, user: &str) -> Command {
    if is_root() {
        let mut command = Command::new("setpriv");
        command.args(["--reuid", user, "--regid", user, "--clear-groups"]).arg(path).current_dir("/");
        command
    } else {
        Command::new(path)
    }
}

fn options(home: &Path, listens: &str) -> String {
    format!("-c listen_addresses={listens} -c unix_socket_directories={} -c max_connections=300", home.display())
}

fn start(listens: &str) -> Option<Server> {
    let initdb = program("initdb")?;
    let user = if is_root() { "postgres".to_owned() } else { whoami() };
    // A socket's path must be short (107 characters, unix(7)): not under the build folder.
    let home = tempfile::Builder::new().prefix("bondline-pg-").tempdir_in("/tmp").expect("a folder").keep();
    if is_root() {
        let owned = Command::new("chown").arg(&user).arg(&home).status().expect("chown runs");
        assert!(owned.success(), "the folder is given to {user}");
    }
    let made = unprivileged(&initdb, &user)
        .args(["-A", "trust", "-E", "UTF8", "--locale=C", "-U", &user, "-D"])
        .arg(home.join("data"))
        .stdout(Stdio::null())
        .status()
        .expect("initdb runs");
    assert!(made.success(), "a cluster is made");
    if !listens.is_empty() {
        let rights = home.join("data/pg_hba.conf");
        let mut text = std::fs::read_to_string(&rights).expect("the server's rights");
        text.push_str("host all all samenet trust\n");
        std::fs::write(&rights, text).expect("the server's rights");
    }
    let server = Server { _keeper: keeper(&home), home, user, listens: listens.to_owned() };
    server.start_again();
    let begun = Instant::now();
    while !server.home.join(".s.PGSQL.5432").exists() {
        assert!(begun.elapsed() < Duration::from_secs(60), "the server answers");
        std::thread::sleep(Duration::from_millis(50));
    }
    Some(server)
}

/// A shell that waits for the end of this program, then ends the server and clears its folder.
fn keeper(home: &Path) -> Child {
    let script = "cat >/dev/null; pid=$(head -n 1 \"$1/data/postmaster.pid\" 2>/dev/null); \
                  [ -z \"$pid\" ] || kill -QUIT \"$pid\"; sleep 1; rm -rf \"$1\"";
    Command::new("sh")
        .args(["-c", script, "keeper"])
        .arg(home)
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("a shell")
}

fn whoami() -> String {
    let output = Command::new("id").arg("-un").output().expect("id runs");
    String::from_utf8(output.stdout).expect("a name").trim().to_owned()
}
