//! Plan files as pages read them. The last few stay in memory: each is read once for each state, as the shop is.

use crate::answer::Fault;
use crate::app::Ctx;
use crate::form::plan::PlanFile;
use std::sync::{Arc, Mutex, PoisonError};
use store::form::PlanForm;

/// Plan files kept, the latest asked for first; one of seven lines takes some megabytes.
static READ: Mutex<Vec<(String, Arc<PlanFile>)>> = Mutex::new(Vec::new());
const MOST_KEPT: usize = 12;

/// The plan file of a plan; `None` where it is none.
pub(crate) fn plan_file(ctx: &Ctx<'_>, form: &PlanForm) -> Result<Option<Arc<PlanFile>>, Fault> {
    let Some(named) = form.files.iter().find(|file| file.name == "plan.json") else { return Ok(None) };
    let known = |all: &mut Vec<(String, Arc<PlanFile>)>| {
        let at = all.iter().position(|(hash, _)| *hash == named.sha256)?;
        let found = all.remove(at);
        let file = Arc::clone(&found.1);
        all.insert(0, found);
        Some(file)
    };
    if let Some(file) = known(&mut READ.lock().unwrap_or_else(PoisonError::into_inner)) {
        return Ok(Some(file));
    }
    let Some(file) = PlanFile::read(&ctx.kept().file_of(form, "plan.json")?).map(Arc::new) else { return Ok(None) };
    let mut all = READ.lock().unwrap_or_else(PoisonError::into_inner);
    all.insert(0, (named.sha256.clone(), Arc::clone(&file)));
    all.truncate(MOST_KEPT);
    Ok(Some(file))
}
