"""`streamlit run app.py` opens the app from a checkout; `twothirds app` does the same."""

from risk.screens.main import main

main()
