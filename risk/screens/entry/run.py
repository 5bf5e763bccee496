"""The script that ``twothirds app`` gives to Streamlit (the packaged twin of ``app.py``)."""

from risk.screens.main import main

main()
