//! What serving takes.

use clap::Args;
use std::path::PathBuf;

/// What to serve and where.
#[derive(Debug, Args)]
pub(crate) struct ServeArguments {
    /// Folder of the library, made with the demonstration dossier in it where there is none; or
    /// postgres://USER@HOST/DATABASE
    #[arg(value_name = "LIBRARY", default_value = "underlid-library")]
    pub(crate) library: PathBuf,
    /// Address to listen at; one that others can reach needs people (`underlid library people add`) and is encrypted
    #[arg(long, value_name = "ADDRESS", default_value = "127.0.0.1")]
    pub(crate) address: std::net::IpAddr,
    /// Name by which others reach it; at 127.0.0.1, that of a proxy on this machine that encrypts
    #[arg(long, value_name = "HOST")]
    pub(crate) host: Option<String>,
    /// Port of this machine; 0 for any that is free
    #[arg(long, default_value_t = 8086)]
    pub(crate) port: u16,
    /// Listen for a telephone as camera as well, at this one address and port of this machine, encrypted
    #[arg(long, value_name = "ADDRESS:PORT")]
    pub(crate) phone: Option<std::net::SocketAddr>,
    /// Open it in a browser
    #[arg(long)]
    pub(crate) open: bool,
    /// Name that edits are kept under [default: the user's]
    #[arg(long, value_name = "NAME")]
    pub(crate) name: Option<String>,
    /// Catalogue of known parts, besides those that dossiers bring; may be given several times
    #[arg(long = "catalogue", value_name = "FILE")]
    pub(crate) catalogues: Vec<PathBuf>,
}
