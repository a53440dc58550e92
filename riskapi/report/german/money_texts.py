"""The German texts about prices, a repair contract, what moves the cost, and what if."""

from __future__ import annotations

from collections.abc import Mapping

MONEY_TEXTS: Mapping[str, str] = {
    # ---- price
    "price_asking": "Verlangter Preis",
    "price_sound": "Üblicher Preis eines solchen Autos, unbesichtigt (wie angegeben)",
    "price_findings": "Preis, den diese Befunde tragen",
    "price_cautious": "Vorsichtiger Preis, mit Luft für einen schlechten Verlauf",
    "price_below": "Der verlangte Preis liegt {gap} über dem, was die Befunde tragen.",
    "price_above": "Der verlangte Preis liegt {gap} unter dem, was die Befunde tragen.",
    "price_even": "Der verlangte Preis ist das, was die Befunde tragen.",
    "price_none": "Kein Preis genannt: Der übliche Preis eines solchen Autos wurde nicht angegeben.",
    "price_not_computed": "Was die Befunde am Preis ändern, wurde nicht berechnet.",
    "price_items": "Wie der Preis zustande kommt",
    "price_items_intro": (
        "Jede Zeile sagt, was ein Posten am Preis ändert, im Mittel über Autos wie dieses. Jetzt nötige Reparaturen "
        "zählen mit ihrer Wahrscheinlichkeit, spätere und planbare Arbeiten gegenüber dem Auto, wie es üblicherweise "
        "verkauft wird. Die Zeilen ergeben zusammen die Summe."
    ),
    "price_line_chance": "{label} ({count} von 100 Autos wie diesem)",
    "col_line": "Vom üblichen Preis zu diesem Auto",
    # ---- a repair contract as offered
    "h_contract": "Der Reparaturvertrag, wie angeboten",
    "contract_covers": "Er deckt von diesem Motor: {names}.",
    "contract_covers_nothing": "Er deckt keine Schwachstelle dieses Motors.",
    "contract_more": "{count} weitere",
    "contract_runs": "Gerechnet ist über die Zeit, in der er während des Besitzes läuft ({years}), {limits}.",
    "contract_no_limits": "ohne Selbstbehalt und ohne Obergrenze",
    "contract_excess": "mit einem Selbstbehalt von {amount} je Schadensfall",
    "contract_limit_claim": "höchstens {amount} je Schadensfall",
    "contract_limit_total": "höchstens {amount} insgesamt",
    "contract_existing": "Was beim Kauf schon defekt ist, gilt hier als gedeckt.",
    "contract_not_existing": (
        "Was beim Kauf schon defekt ist, gilt hier als nicht gedeckt; was verschlissen ist und später ausfällt, schon."
    ),
    "contract_waiting": (
        "Wartezeit ab dem Kauf: {months} bei der geplanten Fahrstrecke im Jahr; was in ihr ausfällt, ist voll selbst "
        "zu zahlen."
    ),
    "contract_price": "Preis des Vertrags",
    "contract_payout": "Er zahlt im Mittel",
    "contract_left": "Verbleibende unerwartete Reparaturen im Mittel",
    "contract_without": "Ohne ihn: Autos von 100 mit Reparaturen über {budget}",
    "contract_with": "Mit ihm: Autos von 100, die noch mehr als {budget} zahlen",
    "contract_with_price": "Dasselbe, seinen Preis eingerechnet",
    "contract_between": "zwischen {low} und {high}",
    "contract_how": (
        "Das ist eine Rechnung mit den eingegebenen Bedingungen, nur für Reparaturen am Motor. Ein Ausfall ist ein "
        "Schadensfall, und der Vertrag zahlt, als würde jede gedeckte Reparatur anerkannt. Was anerkannt wird, "
        "entscheidet sein Wortlaut."
    ),
    "contract_bounds": (
        "Bei einer Obergrenze über alle Schadensfälle zusammen liegen die Anteile zwischen den beiden genannten "
        "Zahlen; das Mittel ist exakt."
    ),
    "contract_rights": (
        "Ein Händler kann von Gesetzes wegen zur Nachbesserung verpflichtet sein, gleich was unterschrieben wird. "
        "Solche Rechte sind von Ort zu Ort verschieden, stehen neben jedem Vertrag und sind in diesen Zahlen nicht "
        "enthalten: Fragen Sie eine Verbraucherberatung."
    ),
    # ---- what moves the expected cost
    "moves_intro": (
        "Unerwartete Reparaturen kosten im Mittel {mean}. Ändert man jeweils eines, liegt das Mittel zwischen:"
    ),
    "moves_more": "{count} weitere bewegen es weniger.",
    "moves_left_out": "nicht angesehen",
    "moves_lifetime": "{name}: wie lange es hält",
    "moves_lifetime_short": "kurzlebig, wie bei 1 von 16 möglich",
    "moves_lifetime_long": "langlebig, wie bei 1 von 16 möglich",
    "moves_annual_distance": "Fahrstrecke im Jahr",
    "moves_years": "Besitzdauer",
    "moves_labour_rate": "Stundensatz, ohne Steuer",
    "moves_parts_index": "Teilepreise gegenüber dem Wissenspaket",
    "moves_care": "Pflege in den Jahren ohne Belege",
    "moves_care_careful": "sorgfältig",
    "moves_care_average": "durchschnittlich",
    "moves_care_neglected": "Anzeichen langer Ölwechselabstände",
    "moves_tune": "Nicht genannte Leistungssteigerung per Software",
    "moves_tune_yes": "vorhanden",
    "moves_tune_no": "keine",
    "moves_revision": "Baustand des Motors",
    # ---- what if
    "what_if_before": "Wie angegeben",
    "what_if_after": "Was wäre wenn",
    "what_if_none": "-",
    "what_if_years": "Besitzdauer",
    "what_if_annual": "Fahrstrecke im Jahr",
    "what_if_budget": "Reparaturbudget",
    "what_if_score": "Autos von 100, die mehr als das Budget brauchen",
    "what_if_mean": "Unerwartete Reparaturen im Mittel",
    "what_if_p50": "Unerwartete Reparaturen, jedes zweite Auto darüber",
    "what_if_p80": "Unerwartete Reparaturen, 1 Auto von 5 darüber",
    "what_if_p90": "Unerwartete Reparaturen, 1 Auto von 10 darüber",
    "what_if_planned": "Planbare Arbeiten im Mittel",
    "what_if_gain": "Was die Befunde über den verlangten Preis hinaus tragen",
    # ---- assessed again with newer knowledge
    "rescore_before": "Wie beurteilt",
    "rescore_after": "Mit dem jetzigen Wissen",
    "rescore_id": "Beurteilung",
    "rescore_knowledge": "Wissen",
    "rescore_advice": "Rat",
}
