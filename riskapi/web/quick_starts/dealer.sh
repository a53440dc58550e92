# A car on offer: assessed, put right, shown to the public. Needs curl; case.json is one of sample_requests/.
# export RISKAPI_URL=http://127.0.0.1:8000 RISKAPI_KEY=...   (a dealer's key)
set -eu
ask() { curl -sS --fail-with-body ${RISKAPI_KEY:+-H "Authorization: Bearer $RISKAPI_KEY"} "$@"; }
json='Content-Type: application/json'
field() { sed -n 's/.*"'"$1"'": *"\([^"]*\)".*/\1/p' "$2" | head -n 1; }

# As it came in. With market.workshop_rate in the case the answer says which work pays back before the sale.
ask -H "$json" -H 'Idempotency-Key: car-77' --data @case.json "$RISKAPI_URL/v1/assessments" > as_found.json

# The work is done and paid: the next version of the same car. What was found before stays on the record.
work='{"service_history": [{"date": "'$(field as_of as_found.json)'", "work": "oil_service", "evidence": "invoice"}]}'
ask -H "$json" -H 'Idempotency-Key: car-77-work' --data "$work" \
    "$RISKAPI_URL/v1/assessments/$(field assessment_id as_found.json)/findings" > put_right.json

# Only the latest version can be shown. The page names who looked, and counts all assessments of this car.
shown='{"assessment_id": "'$(field assessment_id put_right.json)'", "looked_by": "seller"}'
ask -H "$json" -H 'Idempotency-Key: car-77-shown' --data "$shown" "$RISKAPI_URL/v1/publications" > publication.json

# Sold: the page stays, and says so.
ask -H "$json" --data '{"because": "The car is sold."}' \
    "$RISKAPI_URL/v1/publications/$(field publication_id publication.json)/withdraw" > withdrawn.json
