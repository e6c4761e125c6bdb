"""Documents in other forms: as plain JSON, both ways, and as requests in HL7 FHIR.

What a document says is carried, never what a rule finds in it. How commands take their options is not decided here.
"""
