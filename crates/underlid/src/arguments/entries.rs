//! The arguments of `underlid new`, `add`, `set` and `remove`.
//!
//! What can be added, and every option for it, comes from the description of the format ([`record::forms`]), so that
//! a new key is a new option.

use clap::builder::{PossibleValue, PossibleValuesParser, StringValueParser, TypedValueParser};
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Arg, ArgAction, ArgMatches, Args, Command, FromArgMatches, value_parser};
use methods::words::capital;
use record::{Field, Form, entry_meant, forms};
use std::ffi::OsStr;
use std::path::PathBuf;

/// A new dossier, and what is known of the product.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  underlid new my-product
  underlid new my-product --name \"Desk lamp\" --maker Oskvale --opened 2026-03-01 --price \"49 EUR\"")]
pub(crate) struct NewArguments {
    /// Folder to make; must not exist or be empty
    pub(crate) folder: PathBuf,
    /// Trade name of the product
    #[arg(long, value_name = "TEXT")]
    pub(crate) name: Option<String>,
    /// Its maker
    #[arg(long, value_name = "TEXT")]
    pub(crate) maker: Option<String>,
    /// Model code
    #[arg(long, value_name = "TEXT")]
    pub(crate) model: Option<String>,
    /// What it is, in words
    #[arg(long, value_name = "TEXT")]
    pub(crate) category: Option<String>,
    /// State before opening (sealed, used)
    #[arg(long, value_name = "TEXT")]
    pub(crate) condition: Option<String>,
    /// Price paid, with its currency ("49 EUR")
    #[arg(long, value_name = "MONEY")]
    pub(crate) price: Option<String>,
    /// Date bought (2026-02-20)
    #[arg(long, value_name = "DATE")]
    pub(crate) bought: Option<String>,
    /// Date opened (2026-03-01)
    #[arg(long, value_name = "DATE")]
    pub(crate) opened: Option<String>,
    /// Who opens it
    #[arg(long, value_name = "TEXT")]
    pub(crate) analyst: Option<String>,
}

impl NewArguments {
    /// Returns what was given of the product, by the paths of the format.
    pub(crate) fn given(&self) -> Vec<(&'static str, &str)> {
        [
            ("name", &self.name),
            ("maker", &self.maker),
            ("model", &self.model),
            ("category", &self.category),
            ("condition", &self.condition),
            ("price.paid", &self.price),
            ("bought", &self.bought),
            ("opened", &self.opened),
            ("analyst", &self.analyst),
        ]
        .into_iter()
        .filter_map(|(path, value)| Some((path, value.as_deref()?)))
        .collect()
    }
}

/// A value to set.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  underlid set product.category \"desk lamp\"
  underlid set items.driver.part.marking \"OK41\" \"6?\"
  underlid set steps.lift-cell.hazards lithium-cell")]
pub(crate) struct SetArguments {
    /// Where: the keys from the top, entries by their id (items.driver.part.marking)
    pub(crate) place: String,
    /// What it becomes; several for a list
    #[arg(required = true, value_name = "VALUE")]
    pub(crate) values: Vec<String>,
    /// Folder that holds dossier.toml [default: the current one]
    #[arg(long = "in", value_name = "FOLDER")]
    pub(crate) folder: Option<PathBuf>,
}

/// Something to remove.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  underlid remove claims.weight
  underlid remove items.driver.part.identity")]
pub(crate) struct RemoveArguments {
    /// What: the keys from the top, entries by their id
    pub(crate) place: String,
    /// Folder that holds dossier.toml [default: the current one]
    #[arg(long = "in", value_name = "FOLDER")]
    pub(crate) folder: Option<PathBuf>,
}

/// An entry to add.
#[derive(Debug)]
pub(crate) struct AddArguments {
    /// The sort of entry.
    pub(crate) form: Form,
    /// Folder of the dossier.
    pub(crate) folder: Option<PathBuf>,
    /// The id of the entry it goes into.
    pub(crate) of: Option<String>,
    /// What was given, by the path of the field.
    pub(crate) given: Vec<(String, Vec<String>)>,
    /// The file of a photo or a log.
    pub(crate) file: Option<PathBuf>,
}

const OF: &str = "of";
const FOLDER: &str = "in";
const FILE: &str = "copied";
const LEAD: &str = "lead";

impl Args for AddArguments {
    fn augment_args(command: Command) -> Command {
        command
            .subcommand_required(true)
            .arg_required_else_help(true)
            .subcommands(forms().iter().map(command_of))
            .after_help(EXAMPLES)
    }
    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

const EXAMPLES: &str = "\
What is missing is asked for on a terminal. Examples:
  underlid add claim \"Only 210 g\" --printed \"front of the box\" --kind mass --value \"210 g\"
  underlid add item \"Main board\" --kind board --parent product
  underlid add photo ~/pictures/board.jpg --caption \"Main board, top side\"
  underlid add log ~/charge.csv --what charge --seat cell --item cell --from empty
  underlid add step \"Undo four screws\" --action unscrew --undo yes --tool \"PH00 driver\"
  underlid add reading \"212.4 g\" --item product --what mass --instrument scale";

impl FromArgMatches for AddArguments {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let none = || clap::Error::new(ErrorKind::MissingSubcommand);
        let (word, matches) = matches.subcommand().ok_or_else(none)?;
        let form = forms().into_iter().find(|form| form.word == word);
        let form = form.ok_or_else(none)?;
        let mut given: Vec<(String, Vec<String>)> = Vec::new();
        for field in &form.fields {
            let words = matches.get_many::<String>(&field.path);
            let mut words: Vec<String> = words.into_iter().flatten().cloned().collect();
            if form.lead == Some(field.path.as_str())
                && let Some(lead) = matches.get_one::<String>(LEAD)
            {
                words.insert(0, lead.clone());
            }
            if !words.is_empty() {
                given.push((field.path.clone(), words));
            }
        }
        let path = |id| matches.try_get_one::<PathBuf>(id).ok().flatten().cloned();
        let of = matches.try_get_one::<String>(OF).ok().flatten().cloned();
        Ok(Self {
            folder: path(FOLDER),
            of,
            given,
            file: path(FILE),
            form,
        })
    }
    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

/// Makes the command that adds one sort of entry.
fn command_of(form: &Form) -> Command {
    let mut command = Command::new(form.word).about(capital(form.doc));
    if let Some(folder) = form.file_folder() {
        let help = format!("The file; it is copied into {folder}/ as it is");
        let file = Arg::new(FILE).value_name("FILE").help(help);
        command = command.arg(file.value_parser(value_parser!(PathBuf)));
    }
    if let Some(field) = form.lead.and_then(|lead| form.field(lead)) {
        let lead = Arg::new(LEAD).value_name(field.path.to_uppercase());
        command = command.arg(lead.help(help(field)));
    }
    if let Some(outer) = form.of {
        let help = format!("The {outer} it stands in (id)");
        command = command.arg(Arg::new(OF).long(outer).value_name("ID").help(help));
    }
    command
        .args(form.fields.iter().map(|field| option(form, field)))
        .arg(
            Arg::new(FOLDER)
                .long("in")
                .value_name("FOLDER")
                .value_parser(value_parser!(PathBuf))
                .help_heading("How")
                .help("Folder that holds dossier.toml [default: the current one]"),
        )
}

fn option(form: &Form, field: &Field) -> Arg {
    let full = field.path.replace('.', "-");
    let mut option = Arg::new(field.path.clone())
        .long(field.flag.clone())
        .value_name(value_name(field))
        .help(help(field))
        .action(ArgAction::Append)
        // A temperature may be below zero.
        .allow_hyphen_values(value_name(field) == "VALUE")
        .value_parser(Listed(field.choices().iter().map(|c| c.0).collect()))
        .hide_possible_values(true);
    if full != field.flag {
        option = option.alias(full);
    }
    if form.lead == Some(field.path.as_str()) {
        option = option.conflicts_with(LEAD).hide(true);
    }
    match field.path.split_once('.') {
        Some((table, _)) => option.help_heading(capital(&table.replace('-', " "))),
        None => option,
    }
}

fn help(field: &Field) -> String {
    let choices: Vec<&str> = field.choices().iter().map(|c| c.0).collect();
    let mut text = capital(field.doc);
    if !choices.is_empty() {
        text += &format!(": {}", choices.join(", "));
    }
    if field.path == "id" {
        text += "; made of the rest if not given";
    }
    text
}

fn value_name(field: &Field) -> &'static str {
    match field.wanted() {
        "an id" => "ID",
        "ids" => "ID,ID",
        "a date" => "DATE",
        "one of its words" => "WORD",
        "yes or no" => "YES|NO",
        "text" => "TEXT",
        "numbers" => "X,Y …",
        _ => "VALUE",
    }
}

/// Takes any text, and tells shells the words that will do: a wrong one is told by the format, which knows what is
/// meant by it.
#[derive(Clone)]
struct Listed(Vec<&'static str>);

impl TypedValueParser for Listed {
    type Value = String;

    fn parse_ref(
        &self,
        command: &Command,
        option: Option<&Arg>,
        value: &OsStr,
    ) -> Result<String, clap::Error> {
        StringValueParser::new().parse_ref(command, option, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        if self.0.is_empty() {
            return None;
        }
        PossibleValuesParser::new(self.0.clone())
            .possible_values()
            .map(|values| Box::new(values.collect::<Vec<_>>().into_iter()) as Box<_>)
    }
}

/// Returns what is meant by a sort of entry or an option that `underlid add` does not know.
pub(crate) fn tip(answer: &clap::Error) -> Option<String> {
    let words = std::env::args_os().map(|word| word.to_string_lossy().into_owned());
    let words: Vec<String> = words.collect();
    let at = words.iter().position(|word| word == "add")?;
    let context = |kind| match answer.get(kind) {
        Some(ContextValue::String(text)) => Some(text.as_str()),
        _ => None,
    };
    match answer.kind() {
        ErrorKind::InvalidSubcommand => {
            let said = context(ContextKind::InvalidSubcommand)?;
            let all = forms();
            let all: Vec<&str> = all.iter().map(|form| form.word).collect();
            let listed = format!("what can be added: {}", all.join(", "));
            Some(match entry_meant(said) {
                Some(meant) => format!("write {meant}; {listed}"),
                None => listed,
            })
        }
        ErrorKind::UnknownArgument => {
            let said = context(ContextKind::InvalidArg)?;
            let said = said.trim_start_matches('-').split('=').next()?;
            let form = forms()
                .into_iter()
                .find(|form| words.get(at + 1).is_some_and(|word| word == form.word))?;
            form.meant(said)
                .filter(|tip| *tip != format!("write {said}"))
        }
        _ => None,
    }
}
