"""The office: one module per question, records in, findings out."""
