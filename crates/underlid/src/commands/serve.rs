//! `underlid serve`: a library of dossiers in a browser on this machine, or to people who log in, until Ctrl-C.

use crate::arguments::{Format, ServeArguments};
use crate::failure::Failure;
use crate::interrupt;
use crate::screen;
use app::Served;
use std::net::SocketAddr;
use workbench::{Options, Secret};

pub(crate) fn run(arguments: ServeArguments, format: Format) -> Result<(), Failure> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(Failure::Unprinted)?;
    runtime.block_on(serve(arguments, format))
}

async fn serve(arguments: ServeArguments, format: Format) -> Result<(), Failure> {
    let name = arguments.name.or_else(|| std::env::var("USER").ok());
    let person = name.unwrap_or_else(|| "here".to_string()).into();
    let Served {
        library,
        own_parts,
        secret,
    } = app::served(&arguments.library, &person).await?;
    let options = Options {
        desk: app::desk::Desk::at(library, arguments.catalogues).keeping_parts_in(own_parts),
        address: SocketAddr::from((arguments.address, arguments.port)),
        person,
        secret: Secret::of(secret),
    };
    let serving = match &arguments.host {
        Some(host) => workbench::serve_as(options, host).await,
        None => workbench::serve(options).await,
    };
    let mut serving = serving.map_err(|e| unserved(&e))?;
    if let Some(address) = arguments.phone {
        serving = serving
            .with_phone(address)
            .await
            .map_err(|e| unserved(&e))?;
    }
    let phone = serving
        .phone()
        .map(|(address, print)| (address, print.to_string()));
    let url = serving.url();
    let print = serving.fingerprint().map(str::to_string);
    match format {
        Format::Json => {
            let mut told = serde_json::json!({ "address": url });
            if let Some((address, print)) = &phone {
                told["phone"] = serde_json::json!({ "address": format!("https://{address}/"), "sha256": print });
            }
            if let Some(print) = &print {
                told["sha256"] = serde_json::json!(print);
            }
            screen::print_json(&told)?;
        }
        Format::Text => {
            let phone = phone.map_or(String::new(), |(address, print)| {
                format!("\nTelephone: https://{address}/, certificate {print} (SHA-256); pair it with F8 T.\n")
            });
            let how = match (serving.has_accounts(), &print, &arguments.host) {
                (false, _, _) => {
                    "Open this address in a browser on this machine; it lets that browser in."
                        .to_string()
                }
                (true, Some(print), _) => {
                    format!(
                        "People log in there; the certificate is made for this start: {print} (SHA-256)."
                    )
                }
                (true, None, Some(host)) => {
                    format!(
                        "People log in there, and at https://{host}/ where a proxy on this machine encrypts."
                    )
                }
                (true, None, None) => {
                    "People log in there, in a browser on this machine.".to_string()
                }
            };
            screen::print(&format!("{url}\n\n{how} Ctrl-C stops.\n{phone}"))?;
        }
    }
    if arguments.open
        && let Err(error) = open::that_detached(&url)
    {
        screen::tell(&format!(
            "no browser was opened: {error}\n  try: open the address yourself"
        ));
    }
    let stopped = interrupt::wanted();
    serving.run(stopped).await.map_err(|e| unserved(&e))
}

fn unserved(error: &workbench::ServeError) -> Failure {
    let remedy = match error {
        workbench::ServeError::Address { .. } => "choose another one with --port, or 0 for any",
        workbench::ServeError::NoAccounts(_) => {
            "add somebody with `underlid library people add LIBRARY NAME --role owner`, or serve this machine alone"
        }
        workbench::ServeError::NoName(_) => "say it with --host, or listen at one address",
        workbench::ServeError::Library(error) => error.remedy(),
        _ => "start it again",
    };
    app::Problem::outside(error.to_string(), remedy).into()
}
