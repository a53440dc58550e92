"""Sentences and words about prices, a repair contract, what moves the cost, and what if."""

from __future__ import annotations

MONEY_TEXTS = {
    # ---- price
    "price_asking": "Asking price",
    "price_sound": "Usual price of such a car, not inspected (as stated)",
    "price_findings": "Price these findings support",
    "price_cautious": "Cautious price, with room for a bad run",
    "price_below": "The asking price lies {gap} above what the findings support.",
    "price_above": "The asking price lies {gap} below what the findings support.",
    "price_even": "The asking price is what the findings support.",
    "price_none": "No price is given: the usual price of such a car was not stated.",
    "price_not_computed": "What the findings do to the price was not computed.",
    "price_items": "How the price comes about",
    "price_items_intro": (
        "Each line says what one thing does to the price, on average over cars like this. Repairs needed now count by "
        "how likely they are; later ones and planned work against the car as usually sold. The lines add up."
    ),
    "price_line_chance": "{label} ({count} of 100 cars like this)",
    "col_line": "From the usual price to this car",
    # ---- a repair contract as offered
    "h_contract": "The repair contract, as offered",
    "contract_covers": "It covers, of this engine: {names}.",
    "contract_covers_nothing": "It covers none of this engine's weak points.",
    "contract_more": "{count} more",
    "contract_runs": "It is reckoned over the {years} in which it runs during the ownership, {limits}.",
    "contract_no_limits": "without an excess or a limit",
    "contract_excess": "with an excess of {amount} per claim",
    "contract_limit_claim": "at most {amount} per claim",
    "contract_limit_total": "at most {amount} in all",
    "contract_existing": "What is broken already at the purchase is taken as covered.",
    "contract_not_existing": (
        "What is broken already at the purchase is taken as not covered; what is worn and fails later is."
    ),
    "contract_waiting": (
        "Waiting period from the purchase on: {months}, at the distance a year that is planned; what fails in it is "
        "left to pay in full."
    ),
    "contract_price": "Price of the contract",
    "contract_payout": "It pays, on average",
    "contract_left": "Surprise repairs left to pay, on average",
    "contract_without": "Without it: cars of 100 with repairs above {budget}",
    "contract_with": "With it: cars of 100 that still pay more than {budget}",
    "contract_with_price": "The same, its price counted in",
    "contract_between": "between {low} and {high}",
    "contract_how": (
        "This is arithmetic on the terms as typed in, for engine repairs only. One failure is one claim, and the "
        "contract pays as if every covered repair were accepted. Its own wording decides what is."
    ),
    "contract_bounds": (
        "With a limit on all claims together the chances lie between the two figures given; the average is exact."
    ),
    "contract_rights": (
        "A trade seller may owe repair by law whatever is signed. Such rights differ from place to place, stand beside "
        "any contract and are not in these figures: ask a local consumer office."
    ),
    # ---- what moves the expected cost
    "moves_intro": "Surprise repairs cost {mean} on average. One thing changed at a time, the average moves between:",
    "moves_more": "{count} more move it less.",
    "moves_left_out": "not looked at",
    "moves_lifetime": "{name}: how long it lasts",
    "moves_lifetime_short": "short-lived, as 1 in 16 may be",
    "moves_lifetime_long": "long-lived, as 1 in 16 may be",
    "moves_annual_distance": "Distance a year",
    "moves_years": "Ownership",
    "moves_labour_rate": "Labour rate, without tax",
    "moves_parts_index": "Prices of parts, against the pack's",
    "moves_care": "Care in the undocumented years",
    "moves_care_careful": "careful",
    "moves_care_average": "average",
    "moves_care_neglected": "signs of long oil intervals",
    "moves_tune": "Software tune nobody mentioned",
    "moves_tune_yes": "there is one",
    "moves_tune_no": "there is none",
    "moves_revision": "Revision of the engine",
    # ---- what if
    "what_if_before": "As the case stands",
    "what_if_after": "What if",
    "what_if_none": "-",
    "rescore_before": "As it was assessed",
    "rescore_after": "With the knowledge in use",
    "rescore_id": "Assessment",
    "rescore_knowledge": "Knowledge",
    "rescore_advice": "Advice",
    "what_if_years": "Ownership",
    "what_if_annual": "Distance a year",
    "what_if_budget": "Repair budget",
    "what_if_score": "Cars of 100 that need more than the budget",
    "what_if_mean": "Surprise repairs, on average",
    "what_if_p50": "Surprise repairs, every second car above",
    "what_if_p80": "Surprise repairs, 1 car in 5 above",
    "what_if_p90": "Surprise repairs, 1 car in 10 above",
    "what_if_planned": "Planned work, on average",
    "what_if_gain": "Findings support more than is asked by",
}
