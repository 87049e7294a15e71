//! Every quantity answers on the example machine.

mod common;
use common::*;

#[test]
fn every_quantity_answers_with_a_finite_number() {
    let asks = everything();
    for (ask, answer) in asks.iter().zip(answers(&hauler(), &settings(), &asks)) {
        let finite = answer.value.is_finite() && answer.shortfall.is_finite();
        assert!(finite, "{}: {answer:?}", ask.quantity.name());
    }
}
