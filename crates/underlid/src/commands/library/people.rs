//! `underlid library people`: who may use a library where it is served to others.

use super::minute;
use crate::arguments::{Format, PeopleCommand, RoleArgument};
use crate::failure::Failure;
use crate::screen;
use app::{Problem, keeping};
use jiff::Timestamp;
use library::{Account, Library, LibraryError, Person, Role};
use serde_json::json;

pub(super) async fn run(command: PeopleCommand, format: Format) -> Result<(), Failure> {
    match command {
        PeopleCommand::List { library } => {
            let people = keeping::open(&library).await?.people().await;
            list(&people.map_err(Problem::from)?, format)
        }
        PeopleCommand::Add {
            library,
            name,
            role,
        } => {
            let library = keeping::open_or_make(&library).await?;
            let (name, role) = (Person::from(name), role.into());
            let password = screen::password(&format!("Password of {name}: "))?;
            let added = library.add_person(&name, role, &password, Timestamp::now());
            done(&library, added.await).await?;
            let text = format!(
                "{name} may use the library as {role}. Where it is served, start it again if {name} is the first.\n"
            );
            told(format, &json!({ "name": name, "role": role }), &text)
        }
        PeopleCommand::Remove { library, name } => {
            let library = keeping::open(&library).await?;
            let name = Person::from(name);
            done(&library, library.remove_person(&name).await).await?;
            let text = format!("{name} may use the library no more.\n");
            told(format, &json!({ "name": name, "removed": true }), &text)
        }
        PeopleCommand::Password { library, name } => {
            let library = keeping::open(&library).await?;
            let name = Person::from(name);
            let password = screen::password(&format!("New password of {name}: "))?;
            let set = library.set_password(&name, &password).await;
            done(&library, set).await?;
            let text = format!("{name} has another password, and logs in anew.\n");
            told(format, &json!({ "name": name, "changed": true }), &text)
        }
    }
}

/// Ends what was opened, whatever came of it.
async fn done(library: &Library, done: Result<(), LibraryError>) -> Result<(), Failure> {
    library.close().await;
    Ok(done.map_err(Problem::from)?)
}

fn told(format: Format, answer: &serde_json::Value, text: &str) -> Result<(), Failure> {
    match format {
        Format::Json => screen::print_json(answer),
        Format::Text => screen::print(text),
    }
}

fn list(people: &[Account], format: Format) -> Result<(), Failure> {
    let text = match format {
        Format::Json => return screen::print_json(&json!({ "people": people })),
        Format::Text if people.is_empty() => {
            "There is nobody; the library is served to this machine alone.\n".to_string()
        }
        Format::Text => people.iter().map(line).collect(),
    };
    screen::print(&text)
}

fn line(account: &Account) -> String {
    let (name, role, made) = (&account.name, account.role, minute(account.made));
    format!("{role:<6}  {name}  (since {made})\n")
}

impl From<RoleArgument> for Role {
    fn from(role: RoleArgument) -> Self {
        match role {
            RoleArgument::Owner => Self::Owner,
            RoleArgument::Editor => Self::Editor,
            RoleArgument::Reader => Self::Reader,
        }
    }
}
