//! The arguments of `underlid library`.

use clap::{Args, Subcommand, ValueEnum};
use std::path::PathBuf;

/// What to do with a library of dossiers. A dossier is named by its id, or by its product where only one has the name.
#[derive(Debug, Subcommand)]
pub(crate) enum LibraryCommand {
    /// List the dossiers, the one changed last first
    List {
        /// Folder of the library, or postgres://USER@HOST/DATABASE
        library: PathBuf,
        /// List those withdrawn instead
        #[arg(long)]
        withdrawn: bool,
    },
    /// Find products, parts, markings, makers, roles, claims, steps, verdicts, figures
    Find(FindArguments),
    /// Take in dossiers: their folders, or zip archives of them
    Import(TakeInArguments),
    /// Write a dossier to a new folder, or to an archive where the name ends in .zip
    Export(ExportArguments),
    /// Look whether everything is still what was kept: rows, texts, photographs, inverse edits
    Verify {
        /// Folder of the library, or postgres://USER@HOST/DATABASE
        library: PathBuf,
    },
    /// Copy a library to a new folder while it is in use, and look through the copy
    Backup {
        /// Folder of the library, or postgres://USER@HOST/DATABASE
        library: PathBuf,
        /// Folder that is not there yet
        into: PathBuf,
    },
    /// Put a dossier out of the way, or bring it back; nothing of it is lost
    Withdraw {
        /// Folder of the library, or postgres://USER@HOST/DATABASE
        library: PathBuf,
        /// The dossier
        dossier: String,
        /// Bring it back
        #[arg(long)]
        back: bool,
    },
    /// Who may use the library where it is served to others
    #[command(subcommand)]
    People(PeopleCommand),
    /// List the revisions of a dossier, newest first
    History {
        /// Folder of the library, or postgres://USER@HOST/DATABASE
        library: PathBuf,
        /// The dossier
        dossier: String,
        /// Only those before this one
        #[arg(long, value_name = "REVISION")]
        before: Option<u64>,
        /// At most so many
        #[arg(long, value_name = "COUNT", default_value_t = 20)]
        most: usize,
    },
}

/// What to do with the people of a library. Passwords are asked for on the terminal, or are the first line of standard
/// input; they are never arguments.
#[derive(Debug, Subcommand)]
pub(crate) enum PeopleCommand {
    /// List who may use the library, and as what
    List {
        /// Folder of the library, or postgres://USER@HOST/DATABASE
        library: PathBuf,
    },
    /// Let somebody use it
    Add {
        /// Folder of the library, or postgres://USER@HOST/DATABASE
        library: PathBuf,
        /// The name that edits are kept under
        name: String,
        /// What they may do
        #[arg(long, value_enum, default_value_t = RoleArgument::Editor)]
        role: RoleArgument,
    },
    /// Let somebody use it no more; what they did stays under their name
    Remove {
        /// Folder of the library, or postgres://USER@HOST/DATABASE
        library: PathBuf,
        /// The name
        name: String,
    },
    /// Give somebody another password; where they are logged in, they are no more
    Password {
        /// Folder of the library, or postgres://USER@HOST/DATABASE
        library: PathBuf,
        /// The name
        name: String,
    },
}

/// What somebody may do.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum RoleArgument {
    /// Edit and publish, withdraw products and bring them back
    Owner,
    /// Edit and publish
    Editor,
    /// Look at everything
    Reader,
}

/// What to take in.
#[derive(Debug, Args)]
pub(crate) struct TakeInArguments {
    /// Folder of the library, or postgres://USER@HOST/DATABASE; made where there is nothing
    pub(crate) library: PathBuf,
    /// Folders with a dossier.toml, or zip archives of them
    #[arg(required = true, value_name = "DOSSIER")]
    pub(crate) sources: Vec<PathBuf>,
    /// Leave the history that comes with them, and what was published
    #[arg(long)]
    pub(crate) without_history: bool,
    /// Who brings them, for the history [default: the name of the user]
    #[arg(long, value_name = "NAME")]
    pub(crate) by: Option<String>,
}

/// What to export.
#[derive(Debug, Args)]
pub(crate) struct ExportArguments {
    /// Folder of the library, or postgres://USER@HOST/DATABASE
    pub(crate) library: PathBuf,
    /// The dossier
    pub(crate) dossier: String,
    /// Folder or archive that is not there yet
    pub(crate) into: PathBuf,
    /// Its text as of this revision [default: the latest]
    #[arg(long, value_name = "REVISION")]
    pub(crate) revision: Option<u64>,
    /// Leave its history and what was published of it, which an import brings along
    #[arg(long)]
    pub(crate) alone: bool,
}

#[derive(Debug, Args)]
pub(crate) struct FindArguments {
    /// Folder of the library, or postgres://USER@HOST/DATABASE
    pub(crate) library: PathBuf,
    /// What to find: words, maker:NAME, part:NAME, role:WORDS, category:WORDS, `marking:Q[8B]D2`, TH31?, fails:>0,
    /// run-time>20h
    pub(crate) words: Vec<String>,
    /// Known parts besides those that dossiers bring, for what is indexed now
    #[arg(long = "catalogue", value_name = "FILE")]
    pub(crate) catalogues: Vec<PathBuf>,
    /// At most so many products
    #[arg(long, value_name = "COUNT", default_value_t = 20)]
    pub(crate) most: usize,
    /// Pass over so many
    #[arg(long, value_name = "COUNT", default_value_t = 0)]
    pub(crate) from: usize,
}
