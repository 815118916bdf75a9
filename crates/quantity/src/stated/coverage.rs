//! Coverage factor and degrees of freedom after a spread.

use super::cursor::Cursor;
use super::{ReadError, Spread, number};

/// Takes `, k=2`, `, dof=9`, `(k = 2)`.
pub(super) fn coverage(cursor: &mut Cursor, spread: &mut Spread) -> Result<(), ReadError> {
    loop {
        let before = cursor.i;
        cursor.skip_spaces();
        let _ = cursor.eat(',') || cursor.eat(';');
        cursor.skip_spaces();
        let bracketed = cursor.eat('(');
        let start = cursor.i;
        let is_factor = cursor.eat_phrase("k");
        let is_dof = !is_factor
            && ["dof", "df", "ν"]
                .iter()
                .any(|name| cursor.eat_phrase(name));
        cursor.skip_spaces();
        if !(is_factor || is_dof) || !cursor.eat('=') {
            cursor.i = before;
            break;
        }
        cursor.skip_spaces();
        let number = number::read(cursor)?;
        if number.value <= 0.0 {
            return Err(cursor.error(start, "k and dof must be greater than zero"));
        }
        if bracketed && !cursor.eat(')') {
            return Err(cursor.error(start, "the bracket is not closed"));
        }
        if let Spread::Standard(u) = *spread {
            *spread = Spread::PlusMinus {
                half_width: u,
                coverage_factor: Some(1.0),
                degrees_of_freedom: None,
            };
            if is_factor {
                let text = "the number in brackets is a standard uncertainty and takes no k; write ± 0.2 g, k=2";
                return Err(cursor.error(start, text));
            }
        }
        let Spread::PlusMinus {
            coverage_factor,
            degrees_of_freedom,
            ..
        } = spread
        else {
            let text = "k and dof belong to ±; write for example 83.4 g ± 0.2 g, k=2";
            return Err(cursor.error(start, text));
        };
        let field = if is_factor {
            coverage_factor
        } else {
            degrees_of_freedom
        };
        if field.replace(number.value).is_some() && is_factor {
            return Err(cursor.error(start, "k is stated twice"));
        }
    }
    match spread {
        Spread::PlusMinus {
            coverage_factor: None,
            degrees_of_freedom: Some(_),
            ..
        } => {
            let text = "degrees of freedom need a coverage factor; write for example k=2, dof=9";
            Err(cursor.error(0, text))
        }
        _ => Ok(()),
    }
}
