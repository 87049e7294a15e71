"""Front and hardpoints as JSON, CSV and Parquet, loaded with pandas.

The same table must come out of every form: the same columns, of the types that the documents
promise, and the same numbers to the last bit; and its numbers must be those of the JSON resources.

    python tests/python/tables.py LEANWRIGHT
"""

import io
import sys

import pandas as pd
from pandas.testing import assert_frame_equal
from served import demo, server

PARQUET = "application/vnd.apache.parquet"
WHOLE = ["candidate"]
TEXT = ["side", "point"]
FLAG = ["feasible"]


def from_csv(body):
    return pd.read_csv(io.BytesIO(body))


def from_parquet(body):
    return pd.read_parquet(io.BytesIO(body), engine="pyarrow")


def check_types(name, table):
    """Counts are whole, texts are texts, flags are flags and all else is a double."""
    for column, found in table.dtypes.items():
        if column in WHOLE:
            right = pd.api.types.is_integer_dtype(found)
        elif column in TEXT:
            right = pd.api.types.is_string_dtype(found)
        elif column in FLAG:
            right = pd.api.types.is_bool_dtype(found)
        else:
            right = found == "float64"
        assert right, f"{name}: {column} is {found}"


def fetch(served, path):
    csv, csv_type = served.get(path, "text/csv")
    parquet, parquet_type = served.get(path, PARQUET)
    assert (csv_type, parquet_type) == ("text/csv", PARQUET), (csv_type, parquet_type)
    return from_csv(csv), from_parquet(parquet)


def front(served, id):
    """The tables of a front against its JSON document and against each candidate."""
    csv, parquet = fetch(served, f"/v1/jobs/{id}/front")
    check_types("front.parquet", parquet)
    check_types("front.csv", csv)
    assert_frame_equal(csv, parquet, check_exact=True, check_dtype=False)

    document = served.json(f"/v1/jobs/{id}/front")
    assert list(parquet["candidate"]) == [row["number"] for row in document["candidates"]]
    assert list(parquet["feasible"]) == [row["feasible"] for row in document["candidates"]]
    for k, goal in enumerate(document["goals"]):
        expected = [row["goals"][k] for row in document["candidates"]]
        assert list(parquet[goal["quantity"]]) == expected, goal
    for n in range(len(parquet)):
        candidate = served.json(f"/v1/jobs/{id}/candidates/{n}")
        for entry in candidate["requirements"]:
            named = [c for c in parquet if c.split("@")[0] == entry["quantity"]]
            assert entry["value"] in list(parquet.loc[n, named]), entry
        for moved in candidate["hardpoints"]:
            place = [parquet.loc[n, f"{moved['point']}.{axis}"] for axis in "xyz"]
            assert place == moved["position_mm"], moved
    return parquet


def hardpoints(served, id):
    """The tables of hardpoints in all three forms, for the front and for one candidate."""
    path = f"/v1/jobs/{id}/hardpoints"
    csv, parquet = fetch(served, path)
    rows = pd.DataFrame(served.json(path))
    for name, table in [("csv", csv), ("parquet", parquet), ("json", rows)]:
        check_types(f"hardpoints.{name}", table)
        assert_frame_equal(table, parquet, check_exact=True, check_dtype=False)
    one = pd.DataFrame(served.json(f"/v1/jobs/{id}/candidates/0/hardpoints"))
    first = parquet[parquet["candidate"] == 0].reset_index(drop=True)
    assert_frame_equal(one, first, check_exact=True, check_dtype=False)
    return parquet


def plant():
    """A changed last digit, or a count that became a number, is found."""
    table = pd.DataFrame({"candidate": [0, 1], "x_mm": [0.1, 0.2]})
    other = table.assign(x_mm=[0.1, 0.2 + 2**-55])
    for spoil in [
        lambda: assert_frame_equal(table, other, check_exact=True),
        lambda: check_types("planted", table.assign(candidate=[0.0, 1.0])),
    ]:
        try:
            spoil()
        except AssertionError:
            continue
        raise SystemExit("a planted difference is not found")


def main():
    plant()
    with server(sys.argv[1]) as served:
        id = served.search(demo("zero-scrub.json", evaluations=6000, islands=1, seed=5))
        table, points = front(served, id), hardpoints(served, id)
    assert len(table) > 3 and table["candidate"].is_unique
    assert set(points["side"]) == {"left", "right", "middle"}
    print(f"{table.shape} front and {points.shape} hardpoints alike in every form")


main()
