//! `underlid serve`: a library of dossiers in a browser on this machine, until Ctrl-C.

use crate::arguments::{Format, ServeArguments};
use crate::failure::Failure;
use crate::interrupt;
use crate::screen;
use app::Served;
use std::net::{Ipv4Addr, SocketAddr};
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
    let Served { library, secret } = app::served(&arguments.library, &person).await?;
    let serving = workbench::serve(Options {
        desk: app::desk::Desk::at(library, arguments.catalogues),
        address: SocketAddr::from((Ipv4Addr::LOCALHOST, arguments.port)),
        person,
        secret: Secret::of(secret),
    });
    let mut serving = serving.await.map_err(|e| unserved(&e))?;
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
    match format {
        Format::Json => {
            let mut told = serde_json::json!({ "address": url });
            if let Some((address, print)) = &phone {
                told["phone"] = serde_json::json!({ "address": format!("https://{address}/"), "sha256": print });
            }
            screen::print_json(&told)?;
        }
        Format::Text => {
            let phone = phone.map_or(String::new(), |(address, print)| {
                format!("\nTelephone: https://{address}/, certificate {print} (SHA-256); pair it with F8 T.\n")
            });
            screen::print(&format!(
                "{url}\n\nOpen this address in a browser on this machine; it lets that browser in. Ctrl-C stops.\n{phone}"
            ))?;
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
        _ => "start it again",
    };
    app::Problem::outside(error.to_string(), remedy).into()
}
