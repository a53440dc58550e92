# An inspection from the command line. Needs curl; case.json is one of sample_requests/.
# export RISKAPI_URL=http://127.0.0.1:8000 RISKAPI_KEY=...   (on this machine alone no key is needed)
set -eu
ask() { curl -sS --fail-with-body ${RISKAPI_KEY:+-H "Authorization: Bearer $RISKAPI_KEY"} "$@"; }
json='Content-Type: application/json'

# Before the visit: what is worth looking at on this car, in which order, and what to ask.
ask -H "$json" --data @case.json "$RISKAPI_URL/v1/checklists" > checklist.json

# After it: a photo, then the case with its findings. The key makes it safe to send it again.
ask -H 'Content-Type: image/jpeg' --data-binary @photo.jpg "$RISKAPI_URL/v1/photos" > photo.json
ask -H "$json" -H 'Idempotency-Key: visit-2041' --data @case.json "$RISKAPI_URL/v1/assessments" > assessment.json

# The report, and everything needed to recompute it.
id=$(sed -n 's/.*"assessment_id": *"\([0-9a-f]*\)".*/\1/p' assessment.json | head -n 1)
ask -o report.pdf "$RISKAPI_URL/v1/assessments/$id/report.pdf?language=en"
ask -o audit.zip "$RISKAPI_URL/v1/assessments/$id/audit.zip"

# Something more was found: the next version of the same car.
found='{"findings": [{"check": "oil_level", "result": "low"}]}'
ask -H "$json" -H 'Idempotency-Key: visit-2041-b' --data "$found" \
    "$RISKAPI_URL/v1/assessments/$id/findings" > version_2.json
