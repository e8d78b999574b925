"""Force, stress, swelling, buckling and oil under pressure; knows no checklist."""
