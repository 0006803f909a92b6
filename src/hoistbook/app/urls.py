"""Addresses of the pages."""

from __future__ import annotations

from django.urls import path, register_converter

from hoistbook.app import errors, theme
from hoistbook.app.views import (
    assembly,
    checks,
    claims,
    cost,
    cost_compare,
    cost_part,
    gap,
    history,
    home,
    jobs,
    mass,
    parts,
    scenario,
    study,
    trials,
    vehicle,
)


class Code:
    """A vehicle or study code: any letters; where a code holds a slash, the words after it tell the pages apart."""

    regex = ".+?"

    def to_python(self, value: str) -> str:
        """As it stands in the address."""
        return value

    def to_url(self, value: str) -> str:
        """As it stands in the record."""
        return value


register_converter(Code, "code")

handler400 = errors.bad_request
handler404 = errors.not_found
handler500 = errors.broken

urlpatterns = [
    path("", home.home, name="home"),
    path("theme/", theme.choose, name="theme"),
    path("jobs/<slug:name>/", jobs.progress, name="work"),
    path("vehicles/<code:code>/line/", home.vehicle_line, name="vehicle line"),
    path("vehicles/<code:code>/parts/branches/", parts.branches, name="branches"),
    path("vehicles/<code:code>/parts/lines/", parts.lines, name="lines"),
    path("vehicles/<code:code>/parts/find/", parts.find, name="find"),
    path("vehicles/<code:code>/parts/", parts.parts, name="parts"),
    path("vehicles/<code:code>/mass/", mass.mass, name="mass"),
    path("cost/", cost_compare.cost_compare, name="cost compare"),
    path("vehicles/<code:code>/cost/part/worked/", cost_part.cost_part_worked, name="cost part worked"),
    path("vehicles/<code:code>/cost/part/witness/", cost_part.cost_part_witness, name="cost part witness"),
    path("vehicles/<code:code>/cost/part/sheet/", cost_part.cost_part_sheet, name="cost part sheet"),
    path("vehicles/<code:code>/cost/part/", cost_part.cost_part, name="cost part"),
    path("vehicles/<code:code>/cost/", cost.cost, name="cost"),
    path("vehicles/<code:code>/assembly/service/", assembly.service, name="service"),
    path("vehicles/<code:code>/assembly/", assembly.assembly, name="assembly"),
    path("checks/", checks.all_checks, name="all checks"),
    path("checks/<str:name>/worked/", checks.check_worked, name="check alone worked"),
    path("checks/<str:name>/", checks.check, name="check alone"),
    path("vehicles/<code:code>/checks/<str:name>/worked/", checks.check_worked, name="check worked"),
    path("vehicles/<code:code>/checks/<str:name>/", checks.check, name="check"),
    path("vehicles/<code:code>/checks/", checks.checks, name="checks"),
    path("vehicles/<code:code>/tests/", trials.tests, name="tests"),
    path("vehicles/<code:code>/history/changes/<int:change>/", history.change, name="change"),
    path("vehicles/<code:code>/history/", history.history, name="history"),
    path("vehicles/<code:code>/", vehicle.vehicle, name="vehicle"),
    path("scenarios/<code:code>/", scenario.scenario, name="scenario"),
    path("studies/<code:code>/gap/opened/", gap.opened, name="study gap opened"),
    path("studies/<code:code>/gap/", gap.gap, name="study gap"),
    path("studies/<code:code>/claims/", claims.claims, name="study claims"),
    path("studies/<code:code>/", study.study, name="study"),
]
