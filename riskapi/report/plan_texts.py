"""Sentences and words about the repair plan, the watch list, the first service and a dealer's work before the sale."""

from __future__ import annotations

PLAN_TEXTS = {
    # ---- headings
    "h_plan": "What to put right at purchase",
    "h_watch": "What to leave and watch",
    "h_after": "After you buy",
    "h_before_sale": "Work before the sale",
    # ---- what to put right
    "plan_none": (
        "Nothing has to be put right at once, and nothing put right early pays back within {years}: what it would save "
        "is less than it costs."
    ),
    "plan_why_danger": "Never left, because people can be hurt: {names}.",
    "plan_why_faulty": "More likely failed than not: {names}.",
    "plan_why_saves": "Saves more than it costs when done with the rest: {names}.",
    "plan_why_saves_alone": "Saves more than it costs: {names}.",
    "plan_together": (
        "Together about {cost} on average; {apart} if each job paid for its own dismantling. Each step below is paid "
        "once."
    ),
    "plan_alone": "About {cost} on average.",
    "plan_saving": "Over {years} this saves about {money} against repairing only what fails.",
    "plan_costs": (
        "Over {years} this costs about {money} more than repairing only what fails: that is the price of not leaving "
        "what cannot be left."
    ),
    "plan_even": "Over {years} this costs as much as repairing only what fails.",
    "plan_score": "After it, of 100 cars like this {count} need more than {budget} for surprise repairs in {years}.",
    "plan_dearer_another_engine": "Another engine would cost less than this work; ask for both prices.",
    "plan_dearer_write_off": "The car without its scrap value is worth less than this work.",
    "col_plan_for": "For",
    "col_plan_hours": "Hours",
    "plan_times": "{name}, {times} times",
    "plan_if": "{name} (in {chance} of such engines)",
    "plan_access": "Dismantling: {name}",
    "plan_as_found": "If a part turns out to have failed already (more or less work, on average)",
    "plan_total": "Together, with tax",
    "plan_total_no_tax": "Together, without tax",
    # ---- what to watch
    "watch_intro": (
        "Looks fall half a warning time before 1 in 50 such cars would have failed, and from then on every half "
        "warning time, by date or distance, whichever comes first. Listed is what fails in at least 1 of 20 such cars "
        "within {years}, and what can endanger people already from 1 in 50."
    ),
    "watch_none": "Nothing left behind fails often enough within {years} to need a look of its own.",
    "watch_more": "{count} more follow later; all of them are in the calendar file.",
    "watch_unseen": "No look shows these in time: {names}.",
    "col_watch_look": "Look",
    "col_watch_first": "First",
    "col_watch_then": "Then every",
    "watch_now": "at the first service",
    "watch_first": "{day} or {distance}",
    "watch_then": "{months} or {distance}",
    "months_one": "month",
    "months_many": "{months} months",
    # ---- after the purchase
    "after_list": "First service list",
    "after_workshop": "What to tell the workshop",
    "after_questions": "On {days}, write down",
    "col_when": "When",
    "col_because": "Because",
    "service_now": "now",
    "service_due": "{day} or {distance}",
    "service_later": "after the term",
    "service_why_plan": "belongs to the work at purchase",
    "service_why_overdue": "overdue since the last paper ({last})",
    "service_why_overdue_new": "overdue",
    "service_why_interval": "an interval after {last}",
    "service_why_interval_new": "the first interval from new",
    "service_why_no_paper": "no paper shows when it was last done",
    "service_why_ask": "no paper shows when it was renewed: ask, or have its age judged",
    "service_why_usual": "whole intervals from new, unless a paper says otherwise",
    "service_why_watch": "a look of the watch list that is due at once",
    "workshop_do": "Please do together, so that dismantling is paid once: {names}.",
    "workshop_if": "{name} (if this engine has it)",
    "workshop_which": "Before anything is opened, find out which of these it is: {names}.",
    "workshop_confirm": "Confirm before opening that it is this: {name} (worn or failed in {count} of 100 such cars).",
    "workshop_estimate": "Reckoned here: about {hours} hours, {cost} with tax. Ask for an estimate in writing first.",
    "workshop_tools": "Needs special tools, so ask whether they are there: {names}.",
    "workshop_one_use": "Used once and renewed with it: {names}.",
    "workshop_old_parts": "Ask for the old parts back, with the invoice.",
    "workshop_old_parts_any": "Whatever is renewed: ask for the old part back, with the invoice.",
    "workshop_cautions": "Mind: {cautions}",
    "workshop_first": "The maker's instructions and local rules come before anything said here.",
    "question_repaired": "What has been repaired since the purchase, on which day and at what odometer?",
    "question_found": "What did the workshop find when it was opened?",
    "question_cost": "What did it cost?",
    "question_noticed": "Has a lamp come on, and has oil or coolant been topped up?",
    "question_nothing": "Nothing at all is an answer too.",
    # ---- work before the sale
    "sale_none": "No work before the sale raises the price by more than it costs.",
    "sale_intro": "At the stated workshop rate, without tax.",
    "sale_why_danger": "Done before anybody drives it, because people can be hurt: {names}.",
    "sale_why_saves": "Pays back: {names}.",
    "sale_cost": "The work",
    "sale_rise": "What the findings support rises by",
    "sale_pays": "That is beyond the cost of the work",
    "sale_price": "What the findings support after it",
    "sale_cautious": "The same for a cautious buyer",
    "sale_score": "Cars of 100 that need more than {budget} after it",
    # ---- the calendar file
    "cal_name": "Engine: looks and services",
    "cal_watch": "Look: {check}",
    "cal_watch_why": (
        "{name}: fails within the term in {count} of 100 such cars. Look on this day or at {distance}, whichever comes "
        "first; again every {months} or {every}."
    ),
    "cal_service": "Due: {name}",
    "cal_service_why": "By this day or at {distance}, whichever comes first: {why}.",
    "cal_follow_up": "How did it go after {months}?",
    "cal_scope": "A calculation from stated inputs; the engine only.",
}
