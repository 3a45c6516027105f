"""The office's hours worked out of the same day files by programs of others.

Reads the summaries of all day files in a folder with DuckDB or with pandas and adds
up milliseconds by technician, customer, who pays and activity. Prints the number of
groups and their sum, so that it can be held against the office's own table.
"""

import glob
import json
import sys


def with_duckdb(folder):
    import duckdb

    line = 'STRUCT(pay VARCHAR, "time" STRUCT(activity VARCHAR, ms BIGINT)[])'
    summary = f"STRUCT(jobs STRUCT(boat STRUCT(owner VARCHAR), lines {line}[])[])"
    duckdb.sql("SET threads = 2")
    return duckdb.sql(f"""
        WITH days AS (
            SELECT technician, summary FROM read_json('{folder}/*.json', format = 'unstructured',
                maximum_object_size = 67108864,
                columns = {{technician: 'VARCHAR', summary: '{summary}'}})),
        jobs AS (SELECT technician, unnest(summary.jobs) AS job FROM days),
        lines AS (SELECT technician, job.boat.owner AS customer, unnest(job.lines) AS line FROM jobs),
        times AS (SELECT technician, customer, line.pay AS pay, unnest(line."time") AS part FROM lines)
        SELECT technician, customer, pay, part.activity, sum(part.ms) AS ms FROM times GROUP BY ALL
    """).fetchall()


def with_pandas(folder):
    import pandas

    rows = []
    for path in glob.glob(f"{folder}/*.json"):
        with open(path, encoding="utf-8") as file:
            day = json.load(file)
        for job in day["summary"]["jobs"]:
            for line in job["lines"]:
                for part in line["time"]:
                    rows.append((day["technician"], job["boat"]["owner"], line["pay"], part["activity"], part["ms"]))
    table = pandas.DataFrame(rows, columns=["technician", "customer", "pay", "activity", "ms"])
    sums = table.groupby(["technician", "customer", "pay", "activity"])["ms"].sum()
    return list(sums.reset_index().itertuples(index=False, name=None))


found = {"duckdb": with_duckdb, "pandas": with_pandas}[sys.argv[1]](sys.argv[2])
print(len(found), sum(row[4] for row in found))
