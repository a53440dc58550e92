"""`riskapi serve`."""

from __future__ import annotations

import click


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", default=8000, show_default=True, type=click.IntRange(1, 65535), help="Port to listen on.")
@click.option("--workers", default=2, show_default=True, type=click.IntRange(1, 64), help="Processes that answer.")
@click.option(
    "--access", type=click.Choice(["alone", "keys"]), help="Whether this machine itself needs no key ('alone') or does."
)
@click.option("--worker/--no-worker", "background", default=True, help="Whether a background worker runs beside it.")
def serve(host: str, port: int, workers: int, access: str | None, background: bool) -> None:
    """Serve over HTTP; the description of the interface is at /v1/openapi.json.

    On the loopback address a single user needs no key; on any other address every request shows one (riskapi keys
    create). Assessments are kept in an embedded database, or in the one that RISKAPI_DATABASE_URL names. 'riskapi
    doctor' lists the settings and looks whether all is well.

    \b
    riskapi serve --port 8000
    riskapi serve --host 192.0.2.10 --workers 4
    """
    from riskapi.web.serve import run

    run(host=host, port=port, workers=workers, access=access, background=background)
