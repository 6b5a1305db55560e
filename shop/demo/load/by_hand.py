"""SQL for the same answers as the pages give, written as one would by hand, in words of both databases.

Of `RECORD` each statement comes with how many of its first columns are keys of entries.
"""

# ruff: noqa: S608  # put together from what is here and nothing else

_WHOLE = """
    assemblies_assembly a
    JOIN assemblies_run r ON r.id = a.run_id
    JOIN orders_orderline l ON l.id = r.line_id
    JOIN orders_order o ON o.id = l.order_id
    JOIN orders_customer c ON c.id = o.customer_id"""

SCANNED = f"SELECT a.id, r.id, l.id, o.id, a.*, r.*, l.*, o.*, c.* FROM {_WHOLE} WHERE a.code = %s"

PAGE = f"""
    SELECT a.serial, a.*, r.*, l.*, o.*, c.*, h.* FROM {_WHOLE}
    JOIN catalogue_hose h ON h.id = l.hose_id
    WHERE a.id IN ({{}}) ORDER BY a.serial LIMIT {{}}"""
COUNTED = "SELECT COUNT(*) FROM assemblies_assembly WHERE id IN ({})"
CUSTOMERS = f"""
    SELECT c.id, c.number, COUNT(*),
        SUM(CASE WHEN a.state = 'shipped' THEN 1 ELSE 0 END),
        SUM(CASE WHEN a.state IN ('retired', 'scrapped') THEN 1 ELSE 0 END)
    FROM {_WHOLE} WHERE a.id IN ({{}}) GROUP BY c.id, c.number"""

OF_A_LOT = """
    SELECT assembly_id FROM assemblies_crimp WHERE fitting_lot_id = %s
    UNION SELECT k.assembly_id FROM assemblies_lotcorrection n
    JOIN assemblies_crimp k ON k.entry_id = n.crimp_id WHERE n.fitting_lot_id = %s"""
OF_A_DIE_SET = """
    SELECT DISTINCT k.assembly_id FROM assemblies_crimp k
    JOIN assemblies_setup s ON s.entry_id = k.set_up_id
    JOIN ledger_entry e ON e.id = k.entry_id
    WHERE s.die_set_id = %s AND e.verb = 'assemblies.crimped' AND e.happened_at BETWEEN %s AND %s"""
SINCE = "SELECT done_on FROM tooling_calibration WHERE gauge_id = %s AND passed ORDER BY done_on DESC LIMIT 1"
_MEASURED = """
    FROM ledger_entry e JOIN assemblies_measurement m ON m.entry_id = e.id {}
    WHERE m.gauge_id = %s AND e.verb = 'assemblies.measured' AND e.happened_at >= %s"""
_COVERED = """
    JOIN assemblies_coverage v ON v.{}_id = m.entry_id
    JOIN assemblies_crimp k ON k.entry_id = v.crimp_id"""
OF_A_GAUGE = f"""
    SELECT k.assembly_id {_MEASURED.format("JOIN assemblies_crimp k ON k.entry_id = m.crimp_id")}
    UNION SELECT k.assembly_id {_MEASURED.format(_COVERED.format("before"))}
    UNION SELECT k.assembly_id {_MEASURED.format(_COVERED.format("after"))}
    UNION SELECT i.assembly_id FROM ledger_entry e JOIN assemblies_inspection i ON i.entry_id = e.id
    WHERE i.gauge_id = %s AND e.verb = 'assemblies.inspected' AND e.happened_at >= %s"""

_LINE = """
    JOIN catalogue_crimpspecification {0} ON {0}.entry_id = {1}
    JOIN catalogue_chartissue i{0} ON i{0}.entry_id = {0}.chart_issue_id
    JOIN catalogue_crimpchart h{0} ON h{0}.id = i{0}.chart_id
    JOIN catalogue_fittingseries s{0} ON s{0}.id = {0}.series_id
    LEFT JOIN catalogue_ferrule f{0} ON f{0}.id = {0}.ferrule_id"""
_FITTING = """
    JOIN catalogue_fitting {0} ON {0}.id = {1}
    JOIN catalogue_fittingseries s{0} ON s{0}.id = {0}.series_id
    JOIN standards_connection c{0} ON c{0}.id = {0}.connection_id"""
# What there is little of comes first: among many joins PostgreSQL keeps to the order in which they stand.
_OF_ITS_CRIMPS = "assemblies_crimp k JOIN {} x ON x.crimp_id = k.entry_id"
_ITS_SET_UPS = """(
    SELECT set_up_id AS key FROM assemblies_crimp WHERE assembly_id = %(assembly)s
    UNION SELECT n.entry_id FROM assemblies_setup n WHERE n.run_id = %(run)s
    AND NOT EXISTS (SELECT 1 FROM assemblies_crimp k WHERE k.set_up_id = n.entry_id))"""
_LOTS = """
    JOIN stock_lot t ON t.entry_id = x.fitting_lot_id
    LEFT JOIN stock_lot u ON u.entry_id = x.ferrule_lot_id"""

RECORD: tuple[tuple[int, str], ...] = (
    (
        4,
        f"""SELECT x.entry_id, x.policy_id, y.chart_issue_id, z.chart_issue_id,
            x.*, p.*, q.*, h.*, y.*, iy.*, hy.*, fy.*, z.*, iz.*, hz.*, fz.*, v.*, sv.*, cv.*, w.*, sw.*, cw.*
        FROM orders_resolution x
        JOIN policy_policy p ON p.entry_id = x.policy_id
        JOIN catalogue_fluid q ON q.id = x.fluid_id
        JOIN catalogue_hose h ON h.id = x.hose_id
        {_LINE.format("y", "x.specification_a_id")} {_LINE.format("z", "x.specification_b_id")}
        {_FITTING.format("v", "x.fitting_a_id")} {_FITTING.format("w", "x.fitting_b_id")}
        WHERE x.line_id = %(line)s""",
    ),
    (1, "SELECT x.entry_id, x.* FROM orders_attachedworksheet x WHERE x.line_id = %(line)s"),
    (
        3,
        """SELECT x.entry_id, x.movement_id, p.lot_id, x.*, m.*, p.*, t.*, h.* FROM assemblies_cut x
        JOIN stock_piecemovement m ON m.entry_id = x.movement_id
        JOIN stock_piece p ON p.id = m.piece_id
        JOIN stock_lot t ON t.entry_id = p.lot_id
        JOIN catalogue_hose h ON h.id = t.hose_id
        WHERE x.assembly_id = %(assembly)s""",
    ),
    (
        3,
        f"""SELECT x.entry_id, x.calibration_id, y.chart_issue_id,
            x.*, y.*, iy.*, hy.*, p.*, d.*, e.*, g.*, b.* FROM {_ITS_SET_UPS} u
        JOIN assemblies_setup x ON x.entry_id = u.key
        {_LINE.format("y", "x.specification_id")}
        JOIN tooling_crimper p ON p.id = x.crimper_id
        JOIN tooling_dieset d ON d.id = x.die_set_id
        JOIN catalogue_dietype e ON e.id = d.die_type_id
        JOIN tooling_gauge g ON g.id = x.gauge_id
        JOIN tooling_calibration b ON b.entry_id = x.calibration_id""",
    ),
    (
        3,
        f"""SELECT x.entry_id, x.fitting_lot_id, x.ferrule_lot_id, x.*, y.*, iy.*, hy.*, fy.*, t.*, u.*
        FROM assemblies_crimp x {_LINE.format("y", "x.specification_id")} {_LOTS}
        WHERE x.assembly_id = %(assembly)s""",
    ),
    (
        2,
        f"""SELECT x.entry_id, x.calibration_id, x.*, g.*, b.*, p.*
        FROM {_OF_ITS_CRIMPS.format("assemblies_measurement")}
        JOIN tooling_gauge g ON g.id = x.gauge_id
        JOIN tooling_calibration b ON b.entry_id = x.calibration_id
        JOIN policy_policy p ON p.entry_id = x.policy_id WHERE k.assembly_id = %(assembly)s""",
    ),
    (
        1,
        f"""SELECT x.entry_id, x.*, e.*, y.*, ky.*, ay.*, z.*, kz.*, az.*
        FROM {_OF_ITS_CRIMPS.format("assemblies_coverage")}
        JOIN ledger_entry e ON e.id = x.entry_id
        LEFT JOIN assemblies_measurement y ON y.entry_id = x.before_id
        LEFT JOIN assemblies_crimp ky ON ky.entry_id = y.crimp_id
        LEFT JOIN assemblies_assembly ay ON ay.id = ky.assembly_id
        LEFT JOIN assemblies_measurement z ON z.entry_id = x.after_id
        LEFT JOIN assemblies_crimp kz ON kz.entry_id = z.crimp_id
        LEFT JOIN assemblies_assembly az ON az.id = kz.assembly_id WHERE k.assembly_id = %(assembly)s""",
    ),
    (
        3,
        f"""SELECT x.entry_id, x.fitting_lot_id, x.ferrule_lot_id, x.*, t.*, u.*
        FROM {_OF_ITS_CRIMPS.format("assemblies_lotcorrection")} {_LOTS}
        WHERE k.assembly_id = %(assembly)s""",
    ),
    *(
        (1, f"SELECT x.entry_id, x.* FROM {table} x WHERE x.assembly_id = %(assembly)s")
        for table in (
            "assemblies_decision",
            "assemblies_concession",
            "assemblies_tag",
            "assemblies_shipment",
            "assemblies_retirement",
            "assemblies_recallfinding",
            "trace_failurereport",
        )
    ),
    (
        1,
        """SELECT x.entry_id, x.*, g.* FROM assemblies_inspection x
        JOIN tooling_gauge g ON g.id = x.gauge_id WHERE x.assembly_id = %(assembly)s""",
    ),
    (
        3,
        """SELECT x.entry_id, x.calibration_id, x.policy_id, x.*, g.*, b.*, p.* FROM assemblies_prooftest x
        JOIN tooling_pressuregauge g ON g.id = x.gauge_id
        JOIN tooling_pressurecalibration b ON b.entry_id = x.calibration_id
        JOIN policy_policy p ON p.entry_id = x.policy_id WHERE x.assembly_id = %(assembly)s""",
    ),
    (
        1,
        """SELECT x.entry_id, x.*, t.* FROM assemblies_release x
        JOIN assemblies_tag t ON t.entry_id = x.tag_id WHERE x.assembly_id = %(assembly)s""",
    ),
    (
        1,
        """SELECT x.entry_id, x.* FROM assemblies_recall x
        JOIN assemblies_recallmember m ON m.recall_id = x.entry_id WHERE m.assembly_id = %(assembly)s""",
    ),
    (0, "SELECT a.* FROM assemblies_assembly a WHERE a.replaces_id = %(assembly)s"),
)
ENTRIES = """
    SELECT id, actor_number, e.* FROM ledger_entry e
    WHERE id IN ({}) OR subject IN (%s, %s, %s, %s) ORDER BY id"""
TEXTS = "SELECT * FROM ledger_privatetext WHERE entry_id IN ({})"
PEOPLE = "SELECT number, name FROM people_user WHERE number IN ({})"
